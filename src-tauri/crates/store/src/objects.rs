//! Photo bytes in object storage: S3 and what speaks its protocol, or memory.
//!
//! The object of hash `abcdef...` is `PREFIX/ab/cdef...`, as in a folder. Bytes are hashed
//! before they are sent, so an object is whole under its name or not there. One photo is
//! held in memory at a time. A shared folder needs none of this: [`crate::FolderBlobs`].

use crate::blobs::BlobStore;
use crate::error::StoreError;
use object_store::aws::AmazonS3Builder;
use object_store::memory::InMemory;
use object_store::path::Path as Key;
use object_store::{Error, ObjectStore, ObjectStoreExt, PutPayload};
use slowstone_sync::Hash32;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tokio::runtime::Runtime;

const READING: &str = "reading a photo";
const STORING: &str = "storing a photo";

/// A [`BlobStore`] in object storage.
#[derive(Debug)]
pub struct ObjectBlobs {
    store: Arc<dyn ObjectStore>,
    prefix: String,
    place: String,
    runtime: Option<Runtime>,
}

impl ObjectBlobs {
    /// Opens the storage that `url` names: `s3://BUCKET/PREFIX`, or `memory:///` for trying
    /// out. Keys, region and another server than Amazon's come from the environment
    /// (`AWS_ACCESS_KEY_ID`, `AWS_SECRET_ACCESS_KEY`, `AWS_REGION`, `AWS_ENDPOINT`,
    /// `AWS_ALLOW_HTTP`).
    ///
    /// # Errors
    /// If the address has another form or the storage does not answer.
    pub fn open(url: &str) -> Result<Self, StoreError> {
        let wrong = |detail: String| StoreError::Remote {
            place: url.to_owned(),
            doing: "opening the storage for photos",
            detail,
        };
        let (store, prefix): (Arc<dyn ObjectStore>, &str) = match url.split_once("://") {
            Some(("memory", _)) => (Arc::new(InMemory::new()), ""),
            Some(("s3", rest)) => {
                let (bucket, prefix) = rest.split_once('/').unwrap_or((rest, ""));
                // A provider that is set already is as good.
                let _ = rustls::crypto::ring::default_provider().install_default();
                let builder = AmazonS3Builder::from_env().with_bucket_name(bucket);
                let store = builder.build().map_err(|e| wrong(e.to_string()))?;
                (Arc::new(store), prefix)
            }
            _ => {
                return Err(wrong(
                    "the address must begin with s3:// or file:///".to_owned(),
                ));
            }
        };
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .map_err(|e| wrong(e.to_string()))?;
        let blobs = Self {
            store,
            prefix: prefix.trim_matches('/').to_owned(),
            place: url.to_owned(),
            runtime: Some(runtime),
        };
        // A wrong key or bucket is to be heard of now.
        blobs.size(&Hash32::of(b"is anybody there"))?;
        Ok(blobs)
    }

    fn key(&self, hash: &Hash32) -> Key {
        let hex = hash.to_string();
        let (shard, name) = hex.split_at_checked(2).unwrap_or(("", &hex));
        Key::from_iter(
            self.prefix
                .split('/')
                .chain([shard, name])
                .filter(|part| !part.is_empty()),
        )
    }

    /// Waits for an answer, on a thread of its own, because no thread of Tokio may block.
    fn wait<T: Send>(
        &self,
        doing: &'static str,
        asked: impl Future<Output = Result<T, Error>> + Send,
    ) -> Result<Option<T>, StoreError> {
        let remote = |detail: String| StoreError::Remote {
            place: self.place.clone(),
            doing,
            detail,
        };
        let Some(runtime) = &self.runtime else {
            return Err(remote("it is closed".to_owned()));
        };
        let done = std::thread::scope(|scope| scope.spawn(|| runtime.block_on(asked)).join());
        match done {
            Ok(Ok(answer)) => Ok(Some(answer)),
            Ok(Err(Error::NotFound { .. })) => Ok(None),
            Ok(Err(e)) => Err(remote(e.to_string())),
            Err(_) => Err(remote("the answer could not be read".to_owned())),
        }
    }
}

impl Drop for ObjectBlobs {
    fn drop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_background();
        }
    }
}

impl BlobStore for ObjectBlobs {
    fn put(&self, bytes: &[u8]) -> Result<Hash32, StoreError> {
        let hash = Hash32::of(bytes);
        // Damaged bytes are not kept: the good ones take their place.
        let here = self.size(&hash)? == Some(bytes.len() as u64);
        if here && matches!(self.verify(&hash), Ok(true)) {
            return Ok(hash);
        }
        let key = self.key(&hash);
        let payload = PutPayload::from(bytes.to_vec());
        match self.wait(STORING, self.store.put(&key, payload))? {
            Some(_) => Ok(hash),
            None => Err(StoreError::Remote {
                place: self.place.clone(),
                doing: STORING,
                detail: "the bucket is not there".to_owned(),
            }),
        }
    }

    fn put_reader(&self, reader: &mut dyn Read) -> Result<(Hash32, u64), StoreError> {
        let mut bytes = Vec::new();
        reader
            .read_to_end(&mut bytes)
            .map_err(|e| StoreError::reading(Path::new(&self.place), "receiving a photo", e))?;
        Ok((self.put(&bytes)?, bytes.len() as u64))
    }

    fn get(&self, hash: &Hash32) -> Result<Option<Vec<u8>>, StoreError> {
        let key = self.key(hash);
        let asked = async { self.store.get(&key).await?.bytes().await };
        match self.wait(READING, asked)? {
            None => Ok(None),
            Some(bytes) if Hash32::of(&bytes) == *hash => Ok(Some(bytes.to_vec())),
            Some(_) => Err(StoreError::Altered {
                path: self.place(hash),
            }),
        }
    }

    fn size(&self, hash: &Hash32) -> Result<Option<u64>, StoreError> {
        let key = self.key(hash);
        let head = self.wait(READING, self.store.head(&key))?;
        Ok(head.map(|meta| meta.size))
    }

    fn path(&self, _: &Hash32) -> Option<PathBuf> {
        None
    }

    fn place(&self, hash: &Hash32) -> PathBuf {
        PathBuf::from(format!("{} {}", self.place, self.key(hash)))
    }

    fn list(&self) -> Result<Vec<Hash32>, StoreError> {
        use futures_util::TryStreamExt;
        let prefix = Key::from(self.prefix.as_str());
        let prefix = (!self.prefix.is_empty()).then_some(&prefix);
        let asked = self.store.list(prefix).try_collect::<Vec<_>>();
        let mut hashes: Vec<Hash32> = Vec::new();
        for meta in self.wait(READING, asked)?.unwrap_or_default() {
            let mut parts = meta.location.as_ref().rsplit('/');
            let (name, shard) = (parts.next(), parts.next());
            // Foreign objects are left alone.
            if let (Some(name), Some(shard)) = (name, shard)
                && let Ok(hash) = format!("{shard}{name}").parse()
            {
                hashes.push(hash);
            }
        }
        hashes.sort_unstable();
        Ok(hashes)
    }
}
