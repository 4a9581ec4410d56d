//! What is handed over: a record, who signed it, what came after, and a seal over all of it.

use super::certificate::Certificate;
use super::content::{Document, EntryLine};
use super::signature::{DeviceKey, Sealed, Signed};
use super::{RecordError, digest};
use crate::journal::{Body, EntryId, JobState, SignOff};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeSet;

/// The name of the format of an export.
pub const EXPORT_FORMAT: &str = "turnwise-export";
/// Its version. A reader refuses one that it does not know.
pub const EXPORT_VERSION: &str = "1";

/// A record with its signatures, as it is handed over.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Export {
    /// [`EXPORT_FORMAT`].
    #[schemars(extend("const" = EXPORT_FORMAT))]
    pub format: String,
    /// [`EXPORT_VERSION`].
    #[schemars(extend("const" = EXPORT_VERSION))]
    pub version: String,
    /// The record: the one that was signed last, or where nobody signed, as the job stands.
    #[schemars(with = "Document")]
    pub record: Value,
    /// The signatures of this record. Empty: nobody signed it.
    pub signatures: Vec<ExportSignature>,
    /// Entries that the record does not hold: what came after it was signed. Nobody's signature covers them.
    #[schemars(with = "Vec<EntryLine>")]
    pub addendum: Vec<Value>,
    /// The seal of the device that wrote the export.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<Seal>,
}

/// One signature of the record of an export. Everything here but the entry's id is covered by it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExportSignature {
    /// The entry that it stands in.
    pub entry: String,
    /// The job.
    pub job: String,
    /// The revision of the record.
    pub revision: u32,
    /// SHA-256 of the record's canonical JSON, hex.
    pub digest: String,
    /// The heads that the record was made of, hex, sorted.
    pub heads: Vec<String>,
    /// The person who signed. The record has the name.
    pub by: String,
    /// When, RFC 3339.
    pub at: String,
    /// The public key, hex. None: signed by name only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<String>,
    /// The signature, hex.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signature: Option<String>,
    /// Who vouches for the key: a certificate of an office. None: nobody does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub certificate: Option<Certificate>,
}

impl ExportSignature {
    /// What the signature covers.
    pub fn signed(&self) -> Signed<'_> {
        Signed {
            job: &self.job,
            revision: self.revision,
            digest: &self.digest,
            heads: &self.heads,
            by: &self.by,
            at: &self.at,
        }
    }
}

/// Shows that nothing in an export changed since a device wrote it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Seal {
    /// The device.
    pub device: String,
    /// When, RFC 3339 by its clock.
    pub at: String,
    /// Its public key, hex.
    pub key: String,
    /// The signature, hex.
    pub signature: String,
}

/// A record that was signed and is here byte for byte.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SignedText<'a> {
    /// Its canonical JSON.
    pub text: &'a str,
    /// Its digest.
    pub digest: &'a str,
}

/// Puts an export together, without its seal: of the record that was signed, or where there is none, of the job as it
/// stands in `now`.
///
/// # Errors
/// [`RecordError::Json`] where the signed text is not the JSON that a record is.
pub fn export(
    state: &JobState,
    now: &Document,
    signed: Option<SignedText<'_>>,
) -> Result<Export, RecordError> {
    let record = match signed {
        Some(signed) => serde_json::from_str(signed.text)?,
        None => serde_json::to_value(now)?,
    };
    let signatures = match signed {
        Some(signed) => signatures(state, signed.digest),
        None => Vec::new(),
    };
    let held: BTreeSet<&str> = record["entries"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|entry| entry["id"].as_str())
        .chain(signatures.iter().map(|signature| signature.entry.as_str()))
        .collect();
    let after = |entry: &&EntryLine| !held.contains(entry.id.to_string().as_str());
    let addendum = now
        .entries
        .iter()
        .filter(after)
        .map(serde_json::to_value)
        .collect::<Result<_, _>>()?;
    Ok(Export {
        format: EXPORT_FORMAT.to_owned(),
        version: EXPORT_VERSION.to_owned(),
        record,
        signatures,
        addendum,
        seal: None,
    })
}

/// The signatures that count of the record with this digest, oldest first.
fn signatures(state: &JobState, digest: &str) -> Vec<ExportSignature> {
    state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::SignOff(sign_off) if sign_off.digest == digest => Some((folded, sign_off)),
            _ => None,
        })
        .map(|(folded, sign_off)| {
            let told = &folded.entry.told;
            signature_of(
                state,
                folded.entry.id,
                sign_off,
                &told.by.to_string(),
                sign_off.signed_at.as_deref().unwrap_or(&told.at),
            )
        })
        .collect()
}

fn signature_of(state: &JobState, entry: EntryId, sign_off: &SignOff, by: &str, at: &str) -> ExportSignature {
    ExportSignature {
        entry: entry.to_string(),
        job: state.job.to_string(),
        revision: sign_off.revision,
        digest: sign_off.digest.clone(),
        heads: sign_off.heads.clone(),
        by: by.to_owned(),
        at: at.to_owned(),
        key: sign_off.key.clone(),
        signature: sign_off.signature.clone(),
        certificate: None,
    }
}

impl Export {
    /// Seals the export with a device's key.
    ///
    /// # Errors
    /// [`RecordError::Json`], which no export gives.
    pub fn seal(&mut self, key: &DeviceKey, device: &str, at: &str) -> Result<(), RecordError> {
        self.seal = None;
        let digest = digest_without_seal(&serde_json::to_value(&*self)?)?;
        let message = Sealed {
            digest: &digest,
            device,
            at,
        }
        .message();
        self.seal = Some(Seal {
            device: device.to_owned(),
            at: at.to_owned(),
            key: key.public(),
            signature: key.sign(&message),
        });
        Ok(())
    }

    /// The export as indented JSON, names in order: a person can read it, and a program line by line.
    ///
    /// # Errors
    /// [`RecordError::Json`], which no export gives.
    pub fn text(&self) -> Result<String, RecordError> {
        let mut text = serde_json::to_string_pretty(&serde_json::to_value(self)?)?;
        text.push('\n');
        Ok(text)
    }

    /// A name for a file of it, without its ending: the job's number, the revision, and that nobody signed it, if so.
    pub fn file_stem(&self, document: &Document) -> String {
        let safe = |letter: char| {
            if letter.is_alphanumeric() || letter == '-' {
                letter
            } else {
                '_'
            }
        };
        let number: String = document.job.opening.number.chars().take(40).map(safe).collect();
        let signed = if self.signatures.is_empty() {
            "-unsigned"
        } else {
            ""
        };
        format!("{number}-r{}{signed}", document.job.revision)
    }

    /// What the record says.
    ///
    /// # Errors
    /// [`RecordError::Json`] where it is not what a record is.
    pub fn document(&self) -> Result<Document, RecordError> {
        Ok(serde_json::from_str(&self.record.to_string())?)
    }

    /// The record's canonical JSON: the exact bytes that a signature covers.
    ///
    /// # Errors
    /// [`RecordError::Json`], which no record gives.
    pub fn canonical_record(&self) -> Result<String, RecordError> {
        Ok(serde_json_canonicalizer::to_string(&self.record)?)
    }
}

/// What a seal covers: SHA-256 of the canonical JSON of an export without its `seal`.
///
/// # Errors
/// [`RecordError::Json`] for JSON that has no canonical form.
pub fn digest_without_seal(export: &Value) -> Result<String, RecordError> {
    let mut export = export.clone();
    if let Value::Object(fields) = &mut export {
        fields.remove("seal");
    }
    Ok(digest(serde_json_canonicalizer::to_string(&export)?.as_bytes()))
}
