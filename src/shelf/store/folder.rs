//! A shelf in a folder of this machine.

use super::{Kept, Mark, Over};
use crate::error::FileFault;
use crate::{Error, Result, format};
use std::fs::{self, File};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

#[derive(Debug, Clone)]
pub(in crate::shelf) struct Folder {
    path: PathBuf,
}

impl Folder {
    pub fn new(path: PathBuf) -> Self {
        Folder { path }
    }

    pub fn path(&self) -> &Path {
        &self.path
    }

    pub fn file(&self, path: &str) -> PathBuf {
        if path.is_empty() { self.path.clone() } else { self.path.join(path) }
    }

    pub fn get(&self, path: &str) -> Result<Option<Kept>> {
        let file = self.file(path);
        match fs::read(&file) {
            Ok(bytes) => Ok(Some(Kept { mark: mark(&bytes), bytes })),
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(None),
            Err(e) => Err(Error::from(FileFault::Unreadable(file)).because(e)),
        }
    }

    pub fn put(&self, path: &str, bytes: &[u8], over: Over) -> Result<bool> {
        let file = self.file(path);
        if let Some(folder) = file.parent() {
            fs::create_dir_all(folder)
                .map_err(|e| Error::from(FileFault::Unwritable(folder.to_owned())).because(e))?;
        }
        let _alone = self.lock();
        let as_expected = match over {
            Over::Anything => true,
            Over::Nothing => !file.exists(),
            Over::State(mark) => self.get(path)?.is_some_and(|kept| kept.mark == mark),
        };
        if as_expected {
            format::write_bytes(bytes, &file)?;
        }
        Ok(as_expected)
    }

    pub fn remove(&self, path: &str, mark: Option<Mark>) -> Result<bool> {
        let file = self.file(path);
        let _alone = self.lock();
        if mark.is_some() && self.get(path)?.is_some_and(|kept| Some(kept.mark) != mark) {
            return Ok(false);
        }
        match fs::remove_file(&file) {
            Ok(()) => Ok(true),
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(true),
            Err(e) => Err(Error::from(FileFault::Unwritable(file)).because(e)),
        }
    }

    /// The folder to oneself among all processes, until the file is closed. Some network drives know no locks;
    /// there the moment between look and write stays open.
    fn lock(&self) -> Option<File> {
        let file = File::create(self.path.join(".lock")).ok()?;
        file.lock().ok()?;
        Some(file)
    }

    pub fn list(&self, folder: &str) -> Result<Vec<(String, Mark)>> {
        let folder = self.file(folder);
        let entries = match fs::read_dir(&folder) {
            Ok(entries) => entries,
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(Error::from(FileFault::Unreadable(folder)).because(e)),
        };
        let file = |entry: fs::DirEntry| {
            let about = entry.metadata().ok().filter(|m| m.is_file())?;
            let changed = format!("{:?} {}", about.modified().ok(), about.len());
            Some((entry.file_name().into_string().ok()?, Mark(changed)))
        };
        Ok(entries.flatten().filter_map(file).collect())
    }
}

fn mark(bytes: &[u8]) -> Mark {
    let mut hasher = DefaultHasher::new();
    bytes.hash(&mut hasher);
    Mark(format!("{:016x}", hasher.finish()))
}
