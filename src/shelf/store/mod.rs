//! Where the files of a shelf are: in a folder of this machine, or in a bucket of an object store.
//!
//! A file is known by its path under the shelf, with forward slashes: "books/chapel.json". Each state of a
//! file has a [`Mark`], and a file is written only over the state it was made from, so that of two writers
//! neither undoes what the other did.

#[cfg(feature = "bucket")]
mod bucket;
mod folder;

use crate::Result;
use crate::error::FileFault;
use std::path::{Path, PathBuf};

/// What tells one state of a file from another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark(String);

/// A file as it was found.
pub(super) struct Kept {
    pub bytes: Vec<u8>,
    pub mark: Mark,
}

/// What a file may be written over.
#[derive(Debug, Clone)]
pub(super) enum Over {
    /// Whatever is there.
    Anything,
    /// Nothing: the file must not be there yet.
    Nothing,
    /// That state of the file.
    State(Mark),
}

/// The two kinds of shelf.
#[derive(Debug, Clone)]
pub(super) enum Store {
    Folder(folder::Folder),
    #[cfg(feature = "bucket")]
    Bucket(bucket::Bucket),
}

/// How an address of a bucket begins.
const BUCKET: &str = "s3://";

impl Store {
    pub fn folder(folder: PathBuf) -> Self {
        Store::Folder(folder::Folder::new(folder))
    }

    /// A folder, or the bucket of an address such as `s3://bucket/prefix`, which is not asked for anything
    /// yet.
    pub fn at(address: &Path) -> Result<Self> {
        match address.to_str().filter(|a| a.starts_with(BUCKET)) {
            Some(address) => Self::bucket(address),
            None => Ok(Self::folder(address.to_owned())),
        }
    }

    #[cfg(feature = "bucket")]
    fn bucket(address: &str) -> Result<Self> {
        bucket::Bucket::at(address).map(Store::Bucket)
    }

    #[cfg(not(feature = "bucket"))]
    fn bucket(address: &str) -> Result<Self> {
        Err(FileFault::NoBuckets(address.into()).into())
    }

    /// The folder of this machine, if it is one.
    pub fn as_folder(&self) -> Option<&Path> {
        match self {
            Store::Folder(folder) => Some(folder.path()),
            #[cfg(feature = "bucket")]
            Store::Bucket(_) => None,
        }
    }

    /// What a person calls the file: its path on this machine, or its address. Of "" the shelf itself.
    pub fn name(&self, path: &str) -> PathBuf {
        match self {
            Store::Folder(folder) => folder.file(path),
            #[cfg(feature = "bucket")]
            Store::Bucket(bucket) => bucket.name(path),
        }
    }

    /// The file; none where it is not there.
    pub fn get(&self, path: &str) -> Result<Option<Kept>> {
        match self {
            Store::Folder(folder) => folder.get(path),
            #[cfg(feature = "bucket")]
            Store::Bucket(bucket) => bucket.get(path),
        }
    }

    /// Writes the file, whole or not at all. False: it is in another state, and nothing was written.
    pub fn put(&self, path: &str, bytes: &[u8], over: Over) -> Result<bool> {
        match self {
            Store::Folder(folder) => folder.put(path, bytes, over),
            #[cfg(feature = "bucket")]
            Store::Bucket(bucket) => bucket.put(path, bytes, over),
        }
    }

    /// Takes the file away, if it is in the state `mark` names, or in any where none is named. False: it is in another
    /// state. A file that is not there is taken away already.
    pub fn remove(&self, path: &str, mark: Option<Mark>) -> Result<bool> {
        match self {
            Store::Folder(folder) => folder.remove(path, mark),
            #[cfg(feature = "bucket")]
            Store::Bucket(bucket) => bucket.remove(path, mark),
        }
    }

    /// The names of the files right under `folder`, sorted, each with a mark that is another one when the file
    /// was changed (not the one [`Store::get`] gives).
    pub fn list(&self, folder: &str) -> Result<Vec<(String, Mark)>> {
        let mut files = match self {
            Store::Folder(here) => here.list(folder)?,
            #[cfg(feature = "bucket")]
            Store::Bucket(bucket) => bucket.list(folder)?,
        };
        files.sort_by(|a, b| a.0.cmp(&b.0));
        Ok(files)
    }

    /// Reads the file, has it changed, and writes it over what was read; where somebody was quicker, once more
    /// from what they left. `change` is given nothing where there is no file, and gives what is to be written,
    /// if anything is.
    pub fn alter<R>(
        &self,
        path: &str,
        mut change: impl FnMut(Option<&[u8]>) -> Result<(Option<Vec<u8>>, R)>,
    ) -> Result<R> {
        let mut meant: Option<(Vec<u8>, R)> = None;
        for _ in 0..TRIES {
            let kept = self.get(path)?;
            let found = kept.as_ref().map(|k| k.bytes.as_slice());
            // An answer may be lost on its way although the file was written.
            if let Some((_, answer)) = meant.take_if(|(bytes, _)| Some(bytes.as_slice()) == found) {
                return Ok(answer);
            }
            let (bytes, answer) = match change(found)? {
                (Some(bytes), answer) => (bytes, answer),
                (None, answer) => return Ok(answer),
            };
            let over = kept.map_or(Over::Nothing, |k| Over::State(k.mark));
            if self.put(path, &bytes, over)? {
                return Ok(answer);
            }
            meant = Some((bytes, answer));
        }
        Err(FileFault::Contended(self.name(path)).into())
    }
}

/// How often a change is made anew because somebody else was quicker. A dozen writers at once get through in
/// as many rounds; beyond that something else is wrong.
const TRIES: usize = 24;

#[cfg(test)]
mod tests {
    use super::*;

    fn store() -> (tempfile::TempDir, Store) {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::folder(folder.path().join("shelf"));
        (folder, store)
    }

    fn add_letter(store: &Store, letter: u8) {
        let add = |found: Option<&[u8]>| {
            let mut bytes = found.unwrap_or_default().to_vec();
            bytes.push(letter);
            Ok((Some(bytes), ()))
        };
        store.alter("books/one", add).unwrap();
    }

    #[test]
    fn of_many_writers_at_once_none_undoes_what_another_did() {
        let (_folder, store) = store();
        std::thread::scope(|scope| {
            for letter in b'a'..=b'h' {
                let store = &store;
                scope.spawn(move || (0..5).for_each(|_| add_letter(store, letter)));
            }
        });
        let mut letters = store.get("books/one").unwrap().unwrap().bytes;
        letters.sort_unstable();
        let expected: Vec<u8> = (b'a'..=b'h').flat_map(|letter| [letter; 5]).collect();
        assert_eq!(letters, expected);
    }

    #[test]
    fn a_file_is_written_only_over_the_state_it_was_read_in() {
        let (_folder, store) = store();
        assert!(store.put("one", b"first", Over::Nothing).unwrap());
        assert!(!store.put("one", b"other", Over::Nothing).unwrap(), "it is there");
        let mark = store.get("one").unwrap().unwrap().mark;
        assert!(store.put("one", b"second", Over::State(mark.clone())).unwrap());
        assert!(!store.put("one", b"third", Over::State(mark.clone())).unwrap(), "it has changed");
        assert_eq!(store.get("one").unwrap().unwrap().bytes, b"second");
        assert!(!store.put("none", b"text", Over::State(mark)).unwrap(), "it is not there");
        assert!(store.put("one", b"fourth", Over::Anything).unwrap());
    }

    #[test]
    fn what_is_refused_or_as_before_is_not_written() {
        let (_folder, store) = store();
        let refused = store.alter("books/one", |_| {
            Err::<(Option<Vec<u8>>, ()), _>(FileFault::BadName("none".into()).into())
        });
        assert!(refused.is_err());
        store.alter("books/one", |found| Ok((None, found.is_none()))).unwrap();
        assert!(!store.name("").exists(), "nothing was begun");
    }

    #[test]
    fn who_is_overtaken_each_time_is_told() {
        let (_folder, store) = store();
        let mut tries = 0;
        let overtaken = store.alter("one", |_| {
            tries += 1;
            store.put("one", tries.to_string().as_bytes(), Over::Anything)?;
            Ok((Some(b"mine".to_vec()), ()))
        });
        let told = overtaken.unwrap_err().to_string();
        assert!(told.ends_with("was changed by others each time it was to be written"), "{told}");
        assert_eq!(store.get("one").unwrap().unwrap().bytes, TRIES.to_string().as_bytes());
    }
}
