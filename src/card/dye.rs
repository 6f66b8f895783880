//! What a ribbon's colour, in the user's words, looks like. The words stay the authority: the colour is
//! always named beside what is painted.

/// Red, green and blue, or `None` for a colour that is not among the usual ones.
pub fn dye(colour: &str) -> Option<[u8; 3]> {
    let words = colour.to_lowercase();
    let named = |name: &str| words.split(|c: char| !c.is_alphabetic()).any(|word| word == name);
    DYES.iter().find(|(names, _)| names.iter().any(|n| named(n))).map(|(_, dye)| *dye)
}

/// Names in English and Spanish; particular shades before the general ones.
const DYES: &[(&[&str], [u8; 3])] = &[
    (&["burgundy", "maroon", "claret", "wine", "granate", "burdeos", "vino"], [112, 24, 40]),
    (&["purple", "violet", "morado", "morada", "violeta", "púrpura"], [94, 53, 140]),
    (&["rose", "pink", "rosa", "rosado", "rosada"], [214, 112, 147]),
    (&["orange", "naranja", "anaranjado"], [214, 110, 30]),
    (
        &["gold", "golden", "yellow", "oro", "dorado", "dorada", "amarillo", "amarilla"],
        [207, 160, 42],
    ),
    (&["red", "scarlet", "rojo", "roja"], [186, 28, 36]),
    (&["green", "verde"], [38, 112, 60]),
    (&["blue", "azul"], [36, 82, 150]),
    (&["white", "cream", "ivory", "blanco", "blanca", "crema", "marfil"], [245, 242, 232]),
    (&["black", "negro", "negra"], [32, 30, 30]),
    (&["brown", "marrón", "café", "pardo", "parda"], [112, 74, 44]),
    (&["grey", "gray", "silver", "gris", "plata", "plateado", "plateada"], [150, 152, 156]),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shades_and_numbers_beside_a_colour() {
        for (words, expected) in [
            ("dark red", Some([186, 28, 36])),
            ("Red 2", Some([186, 28, 36])),
            ("azul", Some([36, 82, 150])),
            ("rose gold", Some([214, 112, 147])),
            ("credo", None),
            ("ribbon 7", None),
        ] {
            assert_eq!(dye(words), expected, "{words}");
        }
    }
}
