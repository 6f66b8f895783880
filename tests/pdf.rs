//! A PDF put together from its objects.

/// The file: the objects, numbered from 1, the table of where they stand, the trailer (ISO 32000-1, 7.5). The first
/// object is the catalogue.
pub fn of(objects: &[Vec<u8>]) -> Vec<u8> {
    let mut out = b"%PDF-1.4\n".to_vec();
    let mut places = Vec::new();
    for (i, object) in objects.iter().enumerate() {
        places.push(out.len());
        out.extend(format!("{} 0 obj\n", i + 1).bytes());
        out.extend(object);
        out.extend(b"\nendobj\n");
    }
    let (table, size) = (out.len(), objects.len() + 1);
    out.extend(format!("xref\n0 {size}\n0000000000 65535 f \n").bytes());
    places.iter().for_each(|p| out.extend(format!("{p:010} 00000 n \n").bytes()));
    out.extend(format!("trailer<</Size {size}/Root 1 0 R>>\nstartxref\n{table}\n%%EOF").bytes());
    out
}

/// A stream object with `head` in its dictionary.
pub fn stream(head: &str, data: &[u8]) -> Vec<u8> {
    let head = format!("<<{head}/Length {}>>stream\n", data.len());
    [head.as_bytes(), data, b"\nendstream"].concat()
}
