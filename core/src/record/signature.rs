//! Signatures: Ed25519 (RFC 8032) over a text that says what is signed, so that whoever has the key, the text and the
//! signature can check it with any tool.

use super::hex;
use ed25519_dalek::{Signature, Signer, SigningKey, VerifyingKey};
use std::fmt;

/// What a signature of a record covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Signed<'a> {
    /// The job's id.
    pub job: &'a str,
    /// The revision.
    pub revision: u32,
    /// SHA-256 of the record's canonical JSON, lower-case hex.
    pub digest: &'a str,
    /// The journal's heads that the record was made of, lower-case hex, sorted.
    pub heads: &'a [String],
    /// The person who signed.
    pub by: &'a str,
    /// When, RFC 3339.
    pub at: &'a str,
}

impl Signed<'_> {
    /// The exact bytes that are signed: seven lines of text, the first of which is used for nothing else.
    ///
    /// ```
    /// # use turnwise_core::record::signature::Signed;
    /// let heads = ["0a".to_owned(), "ff".to_owned()];
    /// let signed = Signed { job: "j", revision: 1, digest: "d", heads: &heads, by: "p", at: "t" };
    /// assert_eq!(
    ///     signed.message(),
    ///     b"turnwise record signature 1\njob j\nrevision 1\ndigest d\nheads 0a ff\nby p\nat t\n"
    /// );
    /// ```
    pub fn message(&self) -> Vec<u8> {
        format!(
            "turnwise record signature 1\njob {}\nrevision {}\ndigest {}\nheads {}\nby {}\nat {}\n",
            self.job,
            self.revision,
            self.digest,
            self.heads.join(" "),
            self.by,
            self.at
        )
        .into_bytes()
    }
}

/// What a seal of an export covers: that nothing in the file changed since this device wrote it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sealed<'a> {
    /// SHA-256 of the canonical JSON of the export without its seal, lower-case hex.
    pub digest: &'a str,
    /// The device that wrote it.
    pub device: &'a str,
    /// When, RFC 3339.
    pub at: &'a str,
}

impl Sealed<'_> {
    /// The exact bytes that are signed.
    pub fn message(&self) -> Vec<u8> {
        format!(
            "turnwise export seal 1\ndigest {}\ndevice {}\nat {}\n",
            self.digest, self.device, self.at
        )
        .into_bytes()
    }
}

/// The key that a device signs with.
#[derive(Clone)]
pub struct DeviceKey(SigningKey);

impl fmt::Debug for DeviceKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "DeviceKey(public {})", self.public())
    }
}

impl DeviceKey {
    /// The key of a secret half: 32 bytes that nobody can guess.
    pub fn from_secret(secret: [u8; 32]) -> Self {
        Self(SigningKey::from_bytes(&secret))
    }

    /// The public half, lower-case hex.
    pub fn public(&self) -> String {
        hex(self.0.verifying_key().as_bytes())
    }

    /// Signs a message. The same message always gets the same signature, in lower-case hex.
    pub fn sign(&self, message: &[u8]) -> String {
        hex(&self.0.sign(message).to_bytes())
    }
}

/// Why a signature does not hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SignatureError {
    /// The key is no Ed25519 public key in lower-case hex.
    #[error("the public key is none")]
    NoKey,
    /// The signature is not 64 bytes in lower-case hex.
    #[error("the signature is none")]
    NoSignature,
    /// The key did not sign this message.
    #[error("the signature is not of this key over this content")]
    Wrong,
}

impl SignatureError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoKey => "bad_key",
            Self::NoSignature => "bad_signature",
            Self::Wrong => "wrong_signature",
        }
    }
}

/// Whether a key signed a message. Stricter than RFC 8032 demands: a signature has one spelling, and weak keys are
/// refused.
///
/// # Errors
/// Why not.
pub fn check(key: &str, signature: &str, message: &[u8]) -> Result<(), SignatureError> {
    let key = bytes_of_hex(key).ok_or(SignatureError::NoKey)?;
    let key = VerifyingKey::from_bytes(&key).map_err(|_| SignatureError::NoKey)?;
    let signature = bytes_of_hex(signature).ok_or(SignatureError::NoSignature)?;
    key.verify_strict(message, &Signature::from_bytes(&signature))
        .map_err(|_| SignatureError::Wrong)
}

/// Exactly so many bytes in lower-case hex: upper case would be a second spelling of the same bytes.
pub fn bytes_of_hex<const N: usize>(text: &str) -> Option<[u8; N]> {
    let lower = |digit: u8| digit.is_ascii_digit() || (b'a'..=b'f').contains(&digit);
    if text.len() != 2 * N || !text.bytes().all(lower) {
        return None;
    }
    let mut bytes = [0; N];
    for (at, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(&text[2 * at..2 * at + 2], 16).ok()?;
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 8032, section 7.1, tests 1, 2 and 3: secret key, public key, message, signature.
    const RFC_8032: [[&str; 4]; 3] = [
        [
            "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
            "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
            "",
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
        ],
        [
            "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
            "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
            "72",
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
        ],
        [
            "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
            "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
            "af82",
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
        ],
    ];

    #[test]
    fn the_vectors_of_rfc_8032_come_out() {
        for [secret, public, message, signature] in RFC_8032 {
            let message: Vec<u8> = (0..message.len() / 2)
                .map(|at| u8::from_str_radix(&message[2 * at..2 * at + 2], 16).unwrap())
                .collect();
            let key = DeviceKey::from_secret(bytes_of_hex(secret).unwrap());
            assert_eq!(key.public(), public);
            assert_eq!(key.sign(&message), signature);
            assert_eq!(check(public, signature, &message), Ok(()));
        }
    }

    #[test]
    fn whatever_character_of_key_signature_or_message_changes_the_signature_does_not_hold() {
        let key = DeviceKey::from_secret([7; 32]);
        let message = b"turnwise record signature 1\njob j\n".to_vec();
        let (public, signature) = (key.public(), key.sign(&message));
        assert_eq!(check(&public, &signature, &message), Ok(()));
        let other = |text: &str, at: usize, flip: u8| {
            let mut bytes = text.as_bytes().to_vec();
            bytes[at] ^= flip;
            String::from_utf8(bytes).unwrap()
        };
        for flip in [0x01, 0x02, 0x20] {
            for at in 0..public.len() {
                assert!(check(&other(&public, at, flip), &signature, &message).is_err());
            }
            for at in 0..signature.len() {
                assert!(check(&public, &other(&signature, at, flip), &message).is_err());
            }
            for at in 0..message.len() {
                let mut changed = message.clone();
                changed[at] ^= flip;
                assert_eq!(check(&public, &signature, &changed), Err(SignatureError::Wrong));
            }
        }
    }

    #[test]
    fn a_signature_of_a_record_is_none_of_a_seal() {
        let heads = ["0a".to_owned()];
        let signed = Signed {
            job: "j",
            revision: 1,
            digest: "d",
            heads: &heads,
            by: "p",
            at: "t",
        };
        let sealed = Sealed {
            digest: "d",
            device: "p",
            at: "t",
        };
        let key = DeviceKey::from_secret([7; 32]);
        let signature = key.sign(&signed.message());
        assert!(check(&key.public(), &signature, &sealed.message()).is_err());
    }

    #[test]
    fn a_key_does_not_print_its_secret() {
        let secret = [0xab; 32];
        let printed = format!("{:?}", DeviceKey::from_secret(secret));
        assert!(!printed.contains(&hex(&secret)));
    }

    #[test]
    fn the_key_that_signs_for_anybody_is_refused() {
        // The point of order one: with it, some signatures hold for every message. RFC 8032, section 5.1.7 leaves it
        // to the program; here it is no key that may sign a record.
        let neutral = format!("01{}", "0".repeat(62));
        let signature = format!("01{}", "0".repeat(126));
        assert!(check(&neutral, &signature, b"anything").is_err());
    }
}
