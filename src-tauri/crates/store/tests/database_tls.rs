//! The connection to PostgreSQL over TLS: to a real server whose certificate was made here.

#![allow(clippy::unwrap_used)]
#![cfg(all(unix, feature = "firm"))]

mod database;

use rcgen::{BasicConstraints, CertificateParams, IsCa, Issuer, KeyPair};
use slowstone_store::{EventLog, HubEpoch, PostgresLog, StoreError};

/// An authority: its certificate in PEM, and what it signs with.
fn authority() -> (String, Issuer<'static, KeyPair>) {
    let mut params = CertificateParams::default();
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    let key = KeyPair::generate().unwrap();
    let pem = params.self_signed(&key).unwrap().pem();
    (pem, Issuer::new(params, key))
}

#[test]
fn the_certificate_of_the_server_is_checked() {
    let Some(server) = database::Server::start() else {
        return;
    };
    server.database("firm");
    let (pem, issuer) = authority();
    let key = KeyPair::generate().unwrap();
    let signed = CertificateParams::new(["localhost".to_owned()])
        .unwrap()
        .signed_by(&key, &issuer)
        .unwrap();
    let port = server.encrypted(&signed.pem(), &key.serialize_pem());

    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = dir.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let (own, other) = (write("own.pem", &pem), write("other.pem", &authority().0));
    let epoch = HubEpoch::new("epoch1").unwrap();
    let open = |host: &str, query: &str| {
        PostgresLog::open(
            &format!("postgres://postgres@{host}:{port}/firm{query}"),
            &epoch,
        )
    };
    let said = |refused: Result<PostgresLog, StoreError>| refused.unwrap_err().to_string();

    for mode in ["require", "verify-full"] {
        let log = open("localhost", &format!("?sslmode={mode}&sslrootcert={own}")).unwrap();
        assert!(log.is_empty().unwrap());
        let lines = "SELECT string_agg(ssl::text, ',') FROM pg_stat_ssl
            JOIN pg_stat_activity USING (pid) WHERE client_addr IS NOT NULL";
        assert_eq!(server.ask("firm", lines), "true", "{mode}");
    }
    // Another authority, another name than the certificate's, the authorities of the system.
    let unknown = said(open(
        "localhost",
        &format!("?sslmode=require&sslrootcert={other}"),
    ));
    assert!(unknown.contains("invalid peer certificate"), "{unknown}");
    let name = said(open(
        "127.0.0.1",
        &format!("?sslmode=require&sslrootcert={own}"),
    ));
    assert!(name.contains("not valid for name"), "{name}");
    assert!(open("localhost", "?sslmode=verify-full").is_err());
    // A server without TLS is not spoken to.
    let plain = database::Server::start().unwrap();
    let bare = plain.database("bare");
    let no = said(PostgresLog::open(
        &format!("{bare}?sslmode=require&sslrootcert={own}"),
        &epoch,
    ));
    assert!(no.contains("TLS"), "{no}");
}
