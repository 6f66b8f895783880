//! A shelf in a bucket that speaks S3, so that many parishes share one.
//!
//! Credentials, region and endpoint come from the environment variables that every program for S3 reads. A
//! file is written with the HTTP conditions If-Match and If-None-Match (RFC 9110, 13.1), its mark being the
//! ETag. Nothing is asked of the network before the first file is.

use super::{BUCKET, Kept, Mark, Over};
use crate::error::FileFault;
use crate::{Error, Result};
use object_store::aws::{AmazonS3, AmazonS3Builder, AmazonS3ConfigKey};
use object_store::path::Path as Key;
use object_store::{
    Error as StoreError, ObjectStore, ObjectStoreExt, PutMode, RetryConfig, UpdateVersion,
};
use std::path::PathBuf;
use std::sync::{Arc, OnceLock};
use std::time::Duration;
use tokio::runtime::{Builder, Runtime};

/// A server that is not there is given up after so long.
const GIVE_UP: Duration = Duration::from_secs(20);

#[derive(Debug, Clone)]
pub(in crate::shelf) struct Bucket {
    /// Without a slash at its end.
    address: String,
    prefix: Key,
    store: Arc<AmazonS3>,
}

impl Bucket {
    /// `address` is `s3://BUCKET` or `s3://BUCKET/PREFIX`.
    pub fn at(address: &str) -> Result<Self> {
        let no_bucket = || FileFault::NoBucket(address.to_owned());
        let rest = address.strip_prefix(BUCKET).ok_or_else(no_bucket)?.trim_end_matches('/');
        let (name, prefix) = rest.split_once('/').unwrap_or((rest, ""));
        let prefix = Key::parse(prefix).map_err(|e| Error::from(no_bucket()).because(e))?;
        if name.is_empty() {
            return Err(no_bucket().into());
        }
        let store = client(name).map_err(|e| Error::from(no_bucket()).because(e))?;
        Ok(Bucket { address: format!("{BUCKET}{rest}"), prefix, store: Arc::new(store) })
    }

    pub fn name(&self, path: &str) -> PathBuf {
        let slash = if path.is_empty() { "" } else { "/" };
        PathBuf::from(format!("{}{slash}{path}", self.address))
    }

    fn key(&self, path: &str) -> Key {
        let steps = path.split('/').filter(|step| !step.is_empty());
        steps.fold(self.prefix.clone(), |key, step| key.join(step))
    }

    pub fn get(&self, path: &str) -> Result<Option<Kept>> {
        let got = wait(async {
            let found = self.store.get(&self.key(path)).await?;
            let mark = found.meta.e_tag.clone();
            Ok((found.bytes().await?, mark))
        });
        match got {
            Ok((bytes, Some(mark))) => Ok(Some(Kept { bytes: bytes.into(), mark: Mark(mark) })),
            Ok((_, None)) => Err(FileFault::NoETag(self.name(path)).into()),
            Err(StoreError::NotFound { .. }) => Ok(None),
            Err(e) => Err(Error::from(FileFault::Unreached(self.name(path))).because(e)),
        }
    }

    pub fn put(&self, path: &str, bytes: &[u8], over: Over) -> Result<bool> {
        let mode = match over {
            Over::Anything => PutMode::Overwrite,
            Over::Nothing => PutMode::Create,
            Over::State(mark) => {
                PutMode::Update(UpdateVersion { e_tag: Some(mark.0), version: None })
            }
        };
        let bytes = bytes.to_vec().into();
        match wait(self.store.put_opts(&self.key(path), bytes, mode.into())) {
            Ok(_) => Ok(true),
            Err(StoreError::AlreadyExists { .. } | StoreError::Precondition { .. }) => Ok(false),
            Err(e) => Err(Error::from(FileFault::Unreached(self.name(path))).because(e)),
        }
    }

    /// A bucket takes files away in whatever state they are: between look and removal a moment stays open.
    pub fn remove(&self, path: &str, mark: Option<Mark>) -> Result<bool> {
        if mark.is_some() && self.get(path)?.is_some_and(|kept| Some(kept.mark) != mark) {
            return Ok(false);
        }
        match wait(self.store.delete(&self.key(path))) {
            Ok(()) | Err(StoreError::NotFound { .. }) => Ok(true),
            Err(e) => Err(Error::from(FileFault::Unreached(self.name(path))).because(e)),
        }
    }

    pub fn list(&self, folder: &str) -> Result<Vec<(String, Mark)>> {
        let key = self.key(folder);
        let listed = wait(self.store.list_with_delimiter(Some(&key)))
            .map_err(|e| Error::from(FileFault::Unreached(self.name(folder))).because(e))?;
        let file = |o: object_store::ObjectMeta| {
            let name = o.location.filename()?.to_owned();
            Some((name, Mark(o.e_tag.unwrap_or_else(|| o.last_modified.to_string()))))
        };
        Ok(listed.objects.into_iter().filter_map(file).collect())
    }
}

fn client(bucket: &str) -> object_store::Result<AmazonS3> {
    // Two may have chosen already; then that choice holds.
    let _ = rustls::crypto::ring::default_provider().install_default();
    let builder = AmazonS3Builder::from_env().with_bucket_name(bucket);
    let endpoint = [AmazonS3ConfigKey::S3Endpoint, AmazonS3ConfigKey::Endpoint]
        .iter()
        .find_map(|key| builder.get_config_value(key));
    // Who names a server without encryption means it: one of their own, in their own network.
    let plain = endpoint.is_some_and(|e| e.starts_with("http://"));
    builder
        .with_allow_http(plain)
        .with_retry(RetryConfig { retry_timeout: GIVE_UP, max_retries: 3, ..Default::default() })
        .build()
}

/// Waits for an answer of the network. The stages know no other kind of waiting; the desk calls them on
/// threads of their own.
fn wait<T>(answer: impl Future<Output = object_store::Result<T>>) -> object_store::Result<T> {
    static NETWORK: OnceLock<std::io::Result<Runtime>> = OnceLock::new();
    let network =
        NETWORK.get_or_init(|| Builder::new_multi_thread().worker_threads(1).enable_all().build());
    match network {
        Ok(network) => network.block_on(answer),
        Err(e) => Err(StoreError::Generic { store: "S3", source: e.to_string().into() }),
    }
}
