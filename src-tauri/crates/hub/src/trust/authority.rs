//! The certificate that phones check: from the hub's own local authority, or from files.
//!
//! The authority is made once (`trust/` in the data folder) and may only sign for private
//! addresses and this computer's name: a phone that trusts it trusts it for nothing else. Its
//! key is readable for this account alone and leaves the folder only encrypted, into a backup for
//! which that was asked ([`crate::backup::keys`]). The hub's own certificate is signed anew at
//! every start, when addresses change and before it ends ([`super::renewal`]), with a key that
//! is never written down. Addresses: [`super::names`].

use super::names::{self, Own, PRIVATE};
use super::renewal::{Span, lasting};
use crate::presence::write_private;
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DnType, ExtendedKeyUsagePurpose,
    GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints, SanType,
};
use ring::digest::{SHA256, digest};
use rustls::crypto::ring::sign::any_supported_type;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use rustls::sign::CertifiedKey;
use std::fs;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use time::{Duration, OffsetDateTime};
use x509_parser::prelude::{FromDer, GeneralName, X509Certificate};

/// Folder of the authority in the data folder.
const FOLDER: &str = "trust";

/// How long the authority lasts, days: longer than a site, and a phone is set up once.
const AUTHORITY_DAYS: i64 = 3650;

/// Why there is no certificate.
#[derive(Debug, thiserror::Error)]
pub enum NoCertificate {
    /// A file is missing, cannot be read, or is none.
    #[error("{}: {why}. {advice}", .path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// What is wrong.
        why: String,
        /// What to do.
        advice: &'static str,
    },
    /// It could not be made.
    #[error("the certificate could not be made ({0}). Please report this")]
    Made(String),
}

impl From<rcgen::Error> for NoCertificate {
    fn from(e: rcgen::Error) -> Self {
        Self::Made(e.to_string())
    }
}

impl From<rustls::Error> for NoCertificate {
    fn from(e: rustls::Error) -> Self {
        Self::Made(e.to_string())
    }
}

/// Own certificate files, in PEM.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Files {
    /// The certificate, with those above it.
    pub cert: PathBuf,
    /// Its key.
    pub key: PathBuf,
}

/// Where certificates come from.
pub struct Authority {
    source: Source,
    print: [u8; 32],
    span: Span,
}

enum Source {
    Local {
        issuer: Box<Issuer<'static, KeyPair>>,
        der: CertificateDer<'static>,
        names: Vec<String>,
    },
    Files {
        ready: Leaf,
        own: Own,
    },
}

/// A certificate to be shown.
#[derive(Clone, Debug)]
pub struct Leaf {
    /// The certificate with its key.
    pub key: Arc<CertifiedKey>,
    /// How long it holds.
    pub span: Span,
}

impl std::fmt::Debug for Authority {
    /// Without keys: this may end up in a log.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let kind = if self.local().is_some() {
            "local"
        } else {
            "files"
        };
        f.debug_tuple("Authority")
            .field(&kind)
            .finish_non_exhaustive()
    }
}

impl Authority {
    /// The local authority of a data folder, made if need be.
    ///
    /// # Errors
    /// If its files cannot be read or written.
    pub fn of(data_dir: &Path, now: OffsetDateTime) -> Result<Self, NoCertificate> {
        let dir = data_dir.join(FOLDER);
        let (cert, key) = (dir.join("ca.pem"), dir.join("ca.key"));
        let advice = "Give this account the right to the folder, or take the folder away to have a new one made: every phone is then paired anew";
        let trouble = |path: &Path, why: String| NoCertificate::File {
            path: path.to_path_buf(),
            why,
            advice,
        };
        if !cert.exists() || !key.exists() {
            fs::create_dir_all(&dir).map_err(|e| trouble(&dir, e.to_string()))?;
            let (pair, made) = make(now)?;
            // The key first: without the certificate both are made anew.
            write_private(&key, pair.serialize_pem().as_bytes())
                .map_err(|e| trouble(&key, e.to_string()))?;
            write_private(&cert, made.as_bytes()).map_err(|e| trouble(&cert, e.to_string()))?;
        }
        let read = |path: &Path| fs::read_to_string(path).map_err(|e| trouble(path, e.to_string()));
        let pair = KeyPair::from_pem(&read(&key)?).map_err(|e| trouble(&key, e.to_string()))?;
        let der = CertificateDer::from_pem_slice(read(&cert)?.as_bytes())
            .map_err(|e| trouble(&cert, e.to_string()))?;
        let names = allowed_names(&der);
        let span =
            span_of(&der).ok_or_else(|| trouble(&cert, "it is no certificate".to_owned()))?;
        let issuer =
            Issuer::from_ca_cert_der(&der, pair).map_err(|e| trouble(&cert, e.to_string()))?;
        Ok(Self {
            print: print(&der),
            span,
            source: Source::Local {
                issuer: Box::new(issuer),
                der,
                names,
            },
        })
    }

    /// Certificates from files.
    ///
    /// # Errors
    /// If they cannot be read or do not belong together.
    pub fn from_files(files: &Files) -> Result<Self, NoCertificate> {
        let trouble = |path: &Path, why: String| NoCertificate::File {
            path: path.to_path_buf(),
            why,
            advice: "Name a certificate and its key in PEM with --tls-cert and --tls-key",
        };
        let chain: Vec<CertificateDer<'static>> = CertificateDer::pem_file_iter(&files.cert)
            .and_then(Iterator::collect)
            .map_err(|e| trouble(&files.cert, e.to_string()))?;
        let Some(first) = chain.first() else {
            return Err(trouble(&files.cert, "no certificate in it".into()));
        };
        let key = PrivateKeyDer::from_pem_file(&files.key)
            .map_err(|e| trouble(&files.key, e.to_string()))?;
        let (own, print) = (names_in(first), print(first));
        let span = span_of(first)
            .ok_or_else(|| trouble(&files.cert, "it is no certificate".to_owned()))?;
        let signer = any_supported_type(&key).map_err(|e| trouble(&files.key, e.to_string()))?;
        let ready = CertifiedKey::new(chain, signer);
        ready
            .keys_match()
            .map_err(|_| trouble(&files.key, "this is not the key of the certificate".into()))?;
        let ready = Leaf {
            key: Arc::new(ready),
            span,
        };
        Ok(Self {
            print,
            span,
            source: Source::Files { ready, own },
        })
    }

    /// The local authority's certificate, for phones to trust; none with own files.
    #[must_use]
    pub fn local(&self) -> Option<&CertificateDer<'static>> {
        match &self.source {
            Source::Local { der, .. } => Some(der),
            Source::Files { .. } => None,
        }
    }

    /// How long the local authority lasts, or the certificate from files.
    #[must_use]
    pub fn span(&self) -> Span {
        self.span
    }

    /// SHA-256 of the certificate that a phone shows: the authority's, or the one from files.
    #[must_use]
    pub fn print(&self) -> [u8; 32] {
        self.print
    }

    /// The addresses that phones can be sent to, out of those that this computer has.
    #[must_use]
    pub fn narrowed(&self, own: &Own) -> Own {
        match &self.source {
            Source::Local { names, .. } => Own {
                ips: own
                    .ips
                    .iter()
                    .copied()
                    .filter(|ip| names::is_private(*ip))
                    .collect(),
                names: own
                    .names
                    .iter()
                    .filter(|n| names.contains(n))
                    .cloned()
                    .collect(),
            },
            Source::Files { own, .. } => own.clone(),
        }
    }

    /// A certificate for these addresses.
    ///
    /// # Errors
    /// If it cannot be made.
    pub fn certify(&self, own: &Own, now: OffsetDateTime) -> Result<Leaf, NoCertificate> {
        let (issuer, der) = match &self.source {
            Source::Files { ready, .. } => return Ok(ready.clone()),
            Source::Local { issuer, der, .. } => (issuer, der),
        };
        let own = self.narrowed(own);
        let mut params = CertificateParams::new(own.names.clone())?;
        let ips = own.ips.iter().map(|ip| SanType::IpAddress(*ip));
        params.subject_alt_names.extend(ips);
        params.distinguished_name = rcgen::DistinguishedName::new();
        params
            .distinguished_name
            .push(DnType::CommonName, "Slowstone hub");
        let span = lasting(now, self.span);
        (params.not_before, params.not_after) = (span.from, span.until);
        params.use_authority_key_identifier_extension = true;
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        let key = KeyPair::generate()?;
        let cert = params.signed_by(&key, issuer.as_ref())?;
        let secret = PrivateKeyDer::try_from(key.serialize_der())
            .map_err(|e| NoCertificate::Made(e.to_owned()))?;
        let signer = any_supported_type(&secret)?;
        let key = CertifiedKey::new(vec![cert.der().clone(), der.clone()], signer);
        Ok(Leaf {
            key: Arc::new(key),
            span,
        })
    }
}

fn print(der: &[u8]) -> [u8; 32] {
    let mut out = [0; 32];
    let hash = digest(&SHA256, der);
    out.iter_mut()
        .zip(hash.as_ref())
        .for_each(|(to, from)| *to = *from);
    out
}

/// How long a certificate says that it lasts.
fn span_of(der: &[u8]) -> Option<Span> {
    let (_, cert) = X509Certificate::from_der(der).ok()?;
    let validity = cert.validity();
    Some(Span {
        from: OffsetDateTime::from_unix_timestamp(validity.not_before.timestamp()).ok()?,
        until: OffsetDateTime::from_unix_timestamp(validity.not_after.timestamp()).ok()?,
    })
}

/// A new authority: its key and its certificate in PEM.
fn make(now: OffsetDateTime) -> Result<(KeyPair, String), NoCertificate> {
    let mut params = CertificateParams::default();
    let hosts = names::host_names();
    let host = hosts.last().map_or("this computer", String::as_str);
    params.distinguished_name = rcgen::DistinguishedName::new();
    let year = now.year();
    params
        .distinguished_name
        .push(DnType::CommonName, format!("Slowstone on {host}, {year}"));
    // From two days ago, since clocks of phones run slow at times.
    params.not_before = now - Duration::days(2);
    params.not_after = now + Duration::days(AUTHORITY_DAYS);
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    let nets = PRIVATE
        .iter()
        .map(|(ip, prefix)| CidrSubnet::from_addr_prefix(*ip, *prefix));
    let mut permitted: Vec<GeneralSubtree> = nets.map(GeneralSubtree::IpAddress).collect();
    let names = hosts.into_iter().chain(["localhost".to_owned()]);
    permitted.extend(names.map(GeneralSubtree::DnsName));
    params.name_constraints = Some(NameConstraints {
        permitted_subtrees: permitted,
        excluded_subtrees: Vec::new(),
    });
    let key = KeyPair::generate()?;
    let pem = params.self_signed(&key)?.pem();
    Ok((key, pem))
}

/// Names that the authority may sign for: the computer may have another one by now.
fn allowed_names(der: &[u8]) -> Vec<String> {
    let Ok((_, cert)) = X509Certificate::from_der(der) else {
        return Vec::new();
    };
    let constraints = cert.name_constraints().ok().flatten();
    let permitted = constraints.and_then(|c| c.value.permitted_subtrees.as_ref());
    let bases = permitted.into_iter().flatten().map(|tree| &tree.base);
    let names = bases.filter_map(|base| match base {
        GeneralName::DNSName(name) => Some((*name).to_owned()),
        _ => None,
    });
    names.collect()
}

/// Names and addresses that a certificate is for.
fn names_in(der: &[u8]) -> Own {
    let mut own = Own::default();
    let Ok((_, cert)) = X509Certificate::from_der(der) else {
        return own;
    };
    let names = cert.subject_alternative_name().ok().flatten();
    for name in names
        .map(|n| n.value.general_names.clone())
        .unwrap_or_default()
    {
        match name {
            GeneralName::DNSName(name) => own.names.push(name.to_ascii_lowercase()),
            GeneralName::IPAddress(bytes) => {
                let v4 = <[u8; 4]>::try_from(bytes).map(IpAddr::from);
                let ip = v4.or_else(|_| <[u8; 16]>::try_from(bytes).map(IpAddr::from));
                own.ips.extend(ip);
            }
            _ => {}
        }
    }
    own
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_authority_is_made_once_and_kept_to_itself() {
        let dir = tempfile::tempdir().unwrap();
        let first = Authority::of(dir.path(), OffsetDateTime::now_utc()).unwrap();
        let again = Authority::of(dir.path(), OffsetDateTime::now_utc()).unwrap();
        assert_eq!(first.print(), again.print());
        assert!(
            first
                .narrowed(&Own {
                    ips: vec![],
                    names: vec!["localhost".into(), "example.org".into()]
                })
                .names
                == ["localhost"]
        );
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = fs::metadata(dir.path().join("trust/ca.key"))
                .unwrap()
                .permissions()
                .mode();
            assert_eq!(mode & 0o777, 0o600);
        }
        fs::write(dir.path().join("trust/ca.key"), "odd").unwrap();
        let said = Authority::of(dir.path(), OffsetDateTime::now_utc())
            .unwrap_err()
            .to_string();
        assert!(
            said.contains("ca.key") && said.contains("paired anew"),
            "{said}"
        );
    }

    #[test]
    fn public_addresses_are_not_certified() {
        let dir = tempfile::tempdir().unwrap();
        let authority = Authority::of(dir.path(), OffsetDateTime::now_utc()).unwrap();
        let own = Own {
            ips: vec!["192.168.1.5".parse().unwrap(), "8.8.8.8".parse().unwrap()],
            names: vec![],
        };
        let made = authority.certify(&own, OffsetDateTime::now_utc()).unwrap();
        let said = names_in(made.key.cert.first().unwrap());
        assert_eq!(said.ips, vec!["192.168.1.5".parse::<IpAddr>().unwrap()]);
    }
}
