//! Certificates: an office vouches that a key is in a person's hands, and for how long.
//!
//! Whoever knows the office's key (from elsewhere: a letterhead, a telephone call) knows then whose signature it is.

use super::RecordError;
use super::signature::{DeviceKey, SignatureError, check};
use crate::journal::{PersonId, Role};
use jiff::Timestamp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What an office vouches for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Vouched {
    /// The person.
    pub person: PersonId,
    /// Their name, as the office writes it.
    pub name: String,
    /// What they may.
    pub roles: Vec<Role>,
    /// The device's public key (Ed25519), hex.
    pub key: String,
    /// From when, RFC 3339.
    pub from: String,
    /// Until when, RFC 3339.
    pub until: String,
}

/// What an office vouches for, signed by it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Certificate {
    /// What it vouches for.
    pub vouched: Vouched,
    /// The office's public key (Ed25519), hex.
    pub office: String,
    /// The office's signature, hex.
    pub signature: String,
}

/// Why a certificate does not vouch for a signature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CertificateError {
    /// The office did not sign it so.
    #[error("the office's signature on the certificate does not hold: {0}")]
    Signature(#[from] SignatureError),
    /// It is about another key.
    #[error("the certificate is about another key")]
    OtherKey,
    /// It is about another person.
    #[error("the certificate is about another person")]
    OtherPerson,
    /// The signature was made before or after the time it holds for, or a time cannot be read.
    #[error("the certificate did not hold when the record was signed")]
    NotThen,
    /// It does not let the person sign.
    #[error("the certificate does not let this person sign")]
    MayNotSign,
}

impl CertificateError {
    /// A stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::Signature(_) => "certificate_wrong",
            Self::OtherKey => "certificate_other_key",
            Self::OtherPerson => "certificate_other_person",
            Self::NotThen => "certificate_not_then",
            Self::MayNotSign => "certificate_may_not_sign",
        }
    }
}

impl Certificate {
    /// The office vouches.
    ///
    /// # Errors
    /// [`RecordError::Json`], which nothing vouched for gives.
    pub fn issue(office: &DeviceKey, vouched: Vouched) -> Result<Self, RecordError> {
        let signature = office.sign(&message(&vouched)?);
        Ok(Self {
            vouched,
            office: office.public(),
            signature,
        })
    }

    /// Whether it vouches for a signature by this key, of this person, at this time (RFC 3339).
    ///
    /// # Errors
    /// [`CertificateError`].
    pub fn vouches(&self, key: &str, person: &str, at: &str) -> Result<(), CertificateError> {
        let message = message(&self.vouched).map_err(|_| SignatureError::Wrong)?;
        check(&self.office, &self.signature, &message)?;
        if self.vouched.key != key {
            return Err(CertificateError::OtherKey);
        }
        if self.vouched.person.to_string() != person {
            return Err(CertificateError::OtherPerson);
        }
        if !self.vouched.roles.contains(&Role::LeadTech) {
            return Err(CertificateError::MayNotSign);
        }
        let moment = |text: &str| text.parse::<Timestamp>().map_err(|_| CertificateError::NotThen);
        let at = moment(at)?;
        if at < moment(&self.vouched.from)? || at > moment(&self.vouched.until)? {
            return Err(CertificateError::NotThen);
        }
        Ok(())
    }
}

/// What an office signs: a line used for nothing else, and the canonical JSON (RFC 8785) of what it vouches for.
fn message(vouched: &Vouched) -> Result<Vec<u8>, RecordError> {
    Ok(format!(
        "turnwise certificate 1\n{}\n",
        serde_json_canonicalizer::to_string(vouched)?
    )
    .into_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    const AT: &str = "2026-05-04T09:12:03+02:00";

    fn vouched() -> Vouched {
        Vouched {
            person: PersonId::of_name("Ana Ruiz"),
            name: "Ana Ruiz".to_owned(),
            roles: vec![Role::LeadTech],
            key: DeviceKey::from_secret([7; 32]).public(),
            from: "2026-01-01T00:00:00Z".to_owned(),
            until: "2027-01-01T00:00:00Z".to_owned(),
        }
    }

    fn issued(vouched: Vouched) -> Certificate {
        Certificate::issue(&DeviceKey::from_secret([9; 32]), vouched).unwrap()
    }

    fn of_ana(certificate: &Certificate, at: &str) -> Result<(), CertificateError> {
        let vouched = vouched();
        certificate.vouches(&vouched.key, &vouched.person.to_string(), at)
    }

    #[test]
    fn an_office_vouches_for_one_key_of_one_person_for_a_time() {
        let certificate = issued(vouched());
        assert_eq!(of_ana(&certificate, AT), Ok(()));
        for outside in ["2025-12-31T23:59:59Z", "2027-01-01T00:00:01Z", "yesterday"] {
            assert_eq!(of_ana(&certificate, outside), Err(CertificateError::NotThen));
        }
        let other = PersonId::of_name("Ben Ode").to_string();
        assert_eq!(
            certificate.vouches(&vouched().key, &other, AT),
            Err(CertificateError::OtherPerson)
        );
        let key = DeviceKey::from_secret([8; 32]).public();
        assert_eq!(
            certificate.vouches(&key, &vouched().person.to_string(), AT),
            Err(CertificateError::OtherKey)
        );
    }

    #[test]
    fn who_may_not_sign_is_not_vouched_for_as_a_signer() {
        let technician = Vouched {
            roles: vec![Role::Technician],
            ..vouched()
        };
        assert_eq!(of_ana(&issued(technician), AT), Err(CertificateError::MayNotSign));
    }

    #[test]
    fn nothing_in_a_certificate_can_be_changed() {
        let good = issued(vouched());
        let longer = Vouched {
            until: "2099-01-01T00:00:00Z".to_owned(),
            ..vouched()
        };
        let renamed = Vouched {
            name: "Ana Ruíz".to_owned(),
            ..vouched()
        };
        for changed in [longer, renamed] {
            let certificate = Certificate {
                vouched: changed,
                ..good.clone()
            };
            assert_eq!(
                of_ana(&certificate, AT),
                Err(CertificateError::Signature(SignatureError::Wrong))
            );
        }
        let another_office = Certificate {
            office: DeviceKey::from_secret([1; 32]).public(),
            ..good
        };
        assert_eq!(
            of_ana(&another_office, AT).unwrap_err().code(),
            "certificate_wrong"
        );
    }
}
