//! The whole of a file held against its signatures.

use super::attachment::attached_json;
use super::digest::{VerifyError, canonical_digest, strict};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use turnwise_core::record::content::{Document, SignatureLine};
use turnwise_core::record::export::{
    EXPORT_FORMAT, EXPORT_VERSION, Export, ExportSignature, Seal, digest_without_seal,
};
use turnwise_core::record::signature::{Sealed, Signed, check};
use turnwise_core::record::{FORMAT, VERSION};

/// What kind of file it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// An export: a record with its signatures.
    Export,
    /// A record alone.
    Record,
    /// A PDF that carries an export.
    PdfWithExport,
    /// A PDF that carries a record alone.
    PdfWithRecord,
}

/// What a file is, and what of it holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Report {
    /// What kind of file.
    pub kind: Kind,
    /// The job's number.
    pub number: String,
    /// Whose system.
    pub customer: String,
    /// Where.
    pub site: String,
    /// The job's id.
    pub job: String,
    /// The revision.
    pub revision: u32,
    /// SHA-256 of the record's canonical JSON, as it is in the file.
    pub digest: String,
    /// How many entries the record holds.
    pub entries: usize,
    /// Who signed this record.
    pub signatures: Vec<SignatureReport>,
    /// Who signed earlier revisions, whose records are not in this file.
    pub earlier: Vec<SignatureReport>,
    /// How many entries came after the signature.
    pub after: usize,
    /// The seal, if it is an export.
    pub seal: Option<SealReport>,
    /// What does not hold. Empty: nothing was changed.
    pub faults: Vec<Fault>,
}

/// One signature.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SignatureReport {
    /// Who, by the record's own word.
    pub name: String,
    /// When, RFC 3339.
    pub at: String,
    /// Of which revision.
    pub revision: u32,
    /// The public key. None: by name only.
    pub key: Option<String>,
    /// Whether the key signed exactly this.
    pub holds: bool,
    /// Whether an office vouches for the key in this person's hands at that time.
    pub vouched_for: bool,
    /// That office's public key.
    pub office: Option<String>,
}

/// A seal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SealReport {
    /// The device that wrote the file.
    pub device: String,
    /// When.
    pub at: String,
    /// Its public key.
    pub key: String,
    /// Whether that is a key that signed the record. If not, nobody is known to stand by what came after the signature.
    pub by_signer: bool,
}

/// Something that does not hold.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// A stable code.
    pub code: &'static str,
    /// What is not as it should be, in short.
    pub what: String,
}

impl Report {
    /// Whether somebody signed this very record with a key.
    pub fn is_signed(&self) -> bool {
        self.signatures.iter().any(|signature| signature.holds)
    }
}

/// The export in a file: an export's JSON, or a PDF that carries one.
///
/// # Errors
/// [`VerifyError`] where there is none that can be read. Nothing is checked.
pub fn export_in(file: &[u8]) -> Result<Export, VerifyError> {
    let attached;
    let text = if is_pdf(file) {
        attached = attached_json(file)?;
        &attached
    } else {
        file
    };
    let whole = strict(text)?;
    let named = |field: &str| whole.get(field).and_then(Value::as_str);
    match (named("format"), named("version")) {
        (Some(EXPORT_FORMAT), Some(EXPORT_VERSION)) => typed(&whole),
        (Some(EXPORT_FORMAT), Some(other)) => Err(VerifyError::OtherVersion(other.to_owned())),
        _ => Err(VerifyError::NotARecord),
    }
}

/// A PDF may begin after a little of something else (ISO 32000-2, annex I).
fn is_pdf(file: &[u8]) -> bool {
    let start = &file[..file.len().min(1024)];
    start.windows(5).any(|bytes| bytes == b"%PDF-")
}

/// Holds a file against its signatures: an export, a record alone, or a PDF that carries one of them.
///
/// # Errors
/// [`VerifyError`] where it cannot be read at all. What was changed is no error: the report's faults say it.
pub fn verify(file: &[u8]) -> Result<Report, VerifyError> {
    if is_pdf(file) {
        let mut report = verify_json(&attached_json(file)?)?;
        report.kind = match report.kind {
            Kind::Export | Kind::PdfWithExport => Kind::PdfWithExport,
            Kind::Record | Kind::PdfWithRecord => Kind::PdfWithRecord,
        };
        return Ok(report);
    }
    verify_json(file)
}

fn verify_json(text: &[u8]) -> Result<Report, VerifyError> {
    let whole = strict(text)?;
    let named = |field: &str| whole.get(field).and_then(Value::as_str);
    match (named("format"), named("version")) {
        (Some(EXPORT_FORMAT), Some(EXPORT_VERSION)) => verify_export(&whole),
        (Some(FORMAT), Some(VERSION)) => Checked::record(&whole).map(|checked| checked.report),
        (Some(EXPORT_FORMAT | FORMAT), Some(other)) => Err(VerifyError::OtherVersion(other.to_owned())),
        _ => Err(VerifyError::NotARecord),
    }
}

/// A record that is being checked.
struct Checked {
    document: Document,
    report: Report,
}

impl Checked {
    fn record(record: &Value) -> Result<Self, VerifyError> {
        let document: Document = typed(record)?;
        let mut report = Report {
            kind: Kind::Record,
            number: document.job.opening.number.clone(),
            customer: document.job.opening.customer.clone(),
            site: document.job.opening.site.clone(),
            job: document.job.id.to_string(),
            revision: document.job.revision,
            digest: canonical_digest(record)?,
            entries: document.entries.len(),
            signatures: Vec::new(),
            earlier: Vec::new(),
            after: 0,
            seal: None,
            faults: Vec::new(),
        };
        for line in &document.signatures {
            let earlier = earlier(line, &report.job);
            if earlier.key.is_some() && !earlier.holds {
                report.fault(
                    "earlier_signature_wrong",
                    format!("revision {} by {}", line.revision, line.said.name),
                );
            }
            report.earlier.push(earlier);
        }
        Ok(Self { document, report })
    }

    /// One signature of this record.
    fn signature(&mut self, signature: &ExportSignature) {
        let document = &self.document;
        let name = document
            .people
            .iter()
            .find(|(person, _)| person.to_string() == signature.by)
            .map_or_else(|| signature.by.clone(), |(_, name)| name.clone());
        let mut faults = Vec::new();
        let report = &mut self.report;
        if signature.digest != report.digest {
            faults.push((
                "record_differs",
                format!("{} was signed, {} is here", signature.digest, report.digest),
            ));
        }
        if signature.job != report.job {
            faults.push(("job_differs", signature.job.clone()));
        }
        if signature.revision != document.job.revision {
            faults.push(("revision_differs", signature.revision.to_string()));
        }
        if signature.heads != document.heads {
            faults.push(("heads_differ", signature.heads.join(" ")));
        }
        match (&signature.key, &signature.signature) {
            (Some(key), Some(bytes)) => {
                if let Err(error) = check(key, bytes, &signature.signed().message()) {
                    faults.push((error.code(), format!("{name}: {error}")));
                }
            }
            (None, None) => {}
            _ => faults.push(("bad_signature", format!("{name}: half a signature"))),
        }
        let vouched_for = match (&signature.certificate, &signature.key) {
            (Some(certificate), Some(key)) => match certificate.vouches(key, &signature.by, &signature.at) {
                Ok(()) => Some(certificate.office.clone()),
                Err(error) => {
                    faults.push((error.code(), format!("{name}: {error}")));
                    None
                }
            },
            _ => None,
        };
        report.signatures.push(SignatureReport {
            holds: faults.is_empty() && signature.key.is_some(),
            vouched_for: vouched_for.is_some(),
            office: vouched_for,
            name,
            at: signature.at.clone(),
            revision: signature.revision,
            key: signature.key.clone(),
        });
        for (code, what) in faults {
            report.fault(code, what);
        }
    }
}

impl Report {
    fn fault(&mut self, code: &'static str, what: impl Into<String>) {
        self.faults.push(Fault {
            code,
            what: what.into(),
        });
    }

    fn seal(&mut self, whole: &Value, seal: Option<&Seal>) -> Result<(), VerifyError> {
        let Some(seal) = seal else {
            self.fault("seal_missing", "the file has no seal");
            return Ok(());
        };
        let digest = digest_without_seal(whole).map_err(|error| VerifyError::NotJson(error.to_string()))?;
        let message = Sealed {
            digest: &digest,
            device: &seal.device,
            at: &seal.at,
        }
        .message();
        if let Err(error) = check(&seal.key, &seal.signature, &message) {
            self.fault("seal_wrong", error.to_string());
        }
        self.seal = Some(SealReport {
            device: seal.device.clone(),
            at: seal.at.clone(),
            key: seal.key.clone(),
            by_signer: self
                .signatures
                .iter()
                .any(|one| one.holds && one.key.as_deref() == Some(seal.key.as_str())),
        });
        Ok(())
    }
}

fn verify_export(whole: &Value) -> Result<Report, VerifyError> {
    let export: Export = typed(whole)?;
    let mut checked = Checked::record(&export.record)?;
    for signature in &export.signatures {
        checked.signature(signature);
    }
    let mut report = checked.report;
    report.kind = Kind::Export;
    report.after = export.addendum.len();
    report.seal(whole, export.seal.as_ref())?;
    Ok(report)
}

/// A signature of an earlier revision: whether its key signed what it says. Its record is not here.
fn earlier(line: &SignatureLine, job: &str) -> SignatureReport {
    let holds = match (&line.key, &line.signature, &line.signed_at) {
        (Some(key), Some(signature), Some(at)) => {
            let signed = Signed {
                job,
                revision: line.revision,
                digest: &line.digest,
                heads: &line.heads,
                by: &line.said.by.to_string(),
                at,
            };
            check(key, signature, &signed.message()).is_ok()
        }
        _ => false,
    };
    SignatureReport {
        name: line.said.name.clone(),
        at: line.signed_at.clone().unwrap_or_else(|| line.said.at.clone()),
        revision: line.revision,
        key: line.key.clone(),
        holds,
        vouched_for: false,
        office: None,
    }
}

/// A value as its type, from text: a body is read only from text.
fn typed<T: DeserializeOwned>(value: &Value) -> Result<T, VerifyError> {
    serde_json::from_str(&value.to_string()).map_err(|error| VerifyError::OtherForm(error.to_string()))
}
