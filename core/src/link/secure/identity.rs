//! What a device proves itself with: an Ed25519 key and a certificate that it has signed itself.

use rcgen::{CertificateParams, DistinguishedName, DnType, KeyPair, PKCS_ED25519, SerialNumber};
use sha2::{Digest, Sha256};
use std::fmt;
use thiserror::Error;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer};

/// What stands before the 32 bytes of an Ed25519 private key in PKCS #8 (RFC 8410, section 7 and its example in 10.3).
const PKCS8_ED25519: [u8; 16] = [
    0x30, 0x2e, 0x02, 0x01, 0x00, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x04, 0x22, 0x04, 0x20,
];

/// SHA-256 of a certificate's bytes: what crew mates know a device by.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingerprint(pub [u8; 32]);

impl Fingerprint {
    /// That of a certificate in DER.
    pub fn of(certificate: &[u8]) -> Self {
        Self(Sha256::digest(certificate).into())
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Fingerprint({self})")
    }
}

/// Why there is no identity.
#[derive(Debug, Error)]
#[error("the certificate of this device could not be made: {0}")]
pub struct IdentityError(#[from] rcgen::Error);

impl IdentityError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        "no_certificate"
    }
}

/// A device's key and certificate. The certificate says nothing but its public key: who the device belongs to is told
/// inside the link, to those it was paired with.
pub struct Identity {
    key: [u8; 32],
    certificate: CertificateDer<'static>,
}

impl fmt::Debug for Identity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Identity({})", self.fingerprint())
    }
}

impl Identity {
    /// A new one from 32 random bytes that nobody can guess, which are its private key.
    pub fn make(key: [u8; 32]) -> Result<Self, IdentityError> {
        let pair = KeyPair::from_pkcs8_der_and_sign_algo(&pkcs8(&key), &PKCS_ED25519)?;
        let mut params = CertificateParams::default();
        params.serial_number = Some(SerialNumber::from(1));
        params.distinguished_name = DistinguishedName::new();
        params.distinguished_name.push(DnType::CommonName, "turnwise");
        let certificate = params.self_signed(&pair)?.der().clone();
        Ok(Self { key, certificate })
    }

    /// One that was made before: its private key and its certificate in DER.
    pub fn kept(key: [u8; 32], certificate: Vec<u8>) -> Self {
        Self {
            key,
            certificate: certificate.into(),
        }
    }

    /// The private key, to be kept.
    pub fn key(&self) -> [u8; 32] {
        self.key
    }

    /// The certificate in DER.
    pub fn certificate(&self) -> &[u8] {
        &self.certificate
    }

    /// What crew mates know it by.
    pub fn fingerprint(&self) -> Fingerprint {
        Fingerprint::of(&self.certificate)
    }

    /// Both, as TLS takes them.
    pub(super) fn for_tls(&self) -> (Vec<CertificateDer<'static>>, PrivateKeyDer<'static>) {
        (
            vec![self.certificate.clone()],
            PrivateKeyDer::Pkcs8(pkcs8(&self.key)),
        )
    }
}

fn pkcs8(key: &[u8; 32]) -> PrivatePkcs8KeyDer<'static> {
    [PKCS8_ED25519.as_slice(), key].concat().into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_key_makes_the_same_certificate_and_another_makes_another() {
        let made = Identity::make([7; 32]).unwrap();
        assert_eq!(made.fingerprint(), Identity::make([7; 32]).unwrap().fingerprint());
        assert_ne!(made.fingerprint(), Identity::make([8; 32]).unwrap().fingerprint());
        let kept = Identity::kept(made.key(), made.certificate().to_vec());
        assert_eq!(kept.fingerprint(), made.fingerprint());
    }

    #[test]
    fn a_fingerprint_is_the_sha_256_of_the_certificate() {
        // FIPS 180-2, appendix B.1: the digest of "abc".
        let abc = Fingerprint::of(b"abc").to_string();
        assert_eq!(
            abc,
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn the_private_key_is_not_printed() {
        let made = Identity::make([0xab; 32]).unwrap();
        assert!(!format!("{made:?}").contains("abababab"));
    }
}
