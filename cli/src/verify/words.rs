//! The answer in words, English and Spanish.

use super::Outcome;
use std::fmt::Write as _;
use turnwise_record::verify::{Kind, Report, SignatureReport};

/// The words of one language.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Words {
    /// English.
    English,
    /// Spanish.
    Spanish,
}

impl Words {
    /// The words of a language; English for one that is not known.
    pub fn of(language: &str) -> Self {
        if language == "es" {
            Self::Spanish
        } else {
            Self::English
        }
    }

    /// A file that cannot be read.
    pub fn unreadable(self, why: &str) -> String {
        format!("{}: {why}", self.pick("CANNOT BE READ", "NO SE PUEDE LEER"))
    }

    /// A report, the outcome first.
    pub fn report(self, report: &Report, outcome: Outcome) -> String {
        let mut text = String::new();
        // Writing to a String cannot fail.
        let _ = writeln!(text, "{}", self.outcome(outcome));
        let _ = writeln!(
            text,
            "{}: {} · {} · {} · {} {}",
            self.pick("Job", "Trabajo"),
            report.number,
            report.customer,
            report.site,
            self.pick("revision", "revisión"),
            report.revision
        );
        let _ = writeln!(
            text,
            "{}: {} · SHA-256 {}",
            self.kind(report.kind),
            self.count(report.entries, "entry", "entries", "anotación", "anotaciones"),
            report.digest
        );
        for signature in &report.signatures {
            let _ = writeln!(text, "{}", self.signature(signature));
        }
        for signature in &report.earlier {
            let _ = writeln!(
                text,
                "{} {}",
                self.signature(signature),
                self.pick(
                    "(an earlier record, not in this file)",
                    "(un registro anterior, no está en este archivo)"
                )
            );
        }
        if report.after > 0 {
            let _ = writeln!(
                text,
                "{} {}",
                self.count(report.after, "entry", "entries", "anotación", "anotaciones"),
                self.pick(
                    "came after the signature; it does not cover them.",
                    "posteriores a la firma; no las cubre."
                )
            );
        }
        if report.after > 0 && report.seal.as_ref().is_some_and(|seal| !seal.by_signer) {
            let _ = writeln!(
                text,
                "{}",
                self.pick(
                    "The device that wrote the file is not one that signed: somebody with a key of their own could have \
                     changed what came after.",
                    "El dispositivo que escribió el archivo no es uno que firmó: alguien con clave propia pudo cambiar \
                     lo posterior."
                )
            );
        }
        if let Some(seal) = &report.seal
            && !report.faults.iter().any(|fault| fault.code.starts_with("seal"))
        {
            let _ = writeln!(
                text,
                "{} {}, {} {}.",
                self.pick(
                    "The file is as it was written by device",
                    "El archivo está como lo escribió el dispositivo"
                ),
                seal.device,
                self.pick("on", "el"),
                seal.at
            );
        }
        for fault in &report.faults {
            let _ = writeln!(text, "! {}: {}", self.fault(fault.code), fault.what);
        }
        text.trim_end().to_owned()
    }

    fn signature(self, signature: &SignatureReport) -> String {
        let how = match (&signature.key, signature.holds) {
            (None, _) => self
                .pick("by name only, without a key", "solo con el nombre, sin clave")
                .to_owned(),
            (Some(key), true) => format!(
                "{} {key}. {}",
                self.pick("with key", "con la clave"),
                self.vouched(signature.office.as_deref())
            ),
            (Some(_), false) => self
                .pick("BUT THE SIGNATURE DOES NOT HOLD", "PERO LA FIRMA NO ES VÁLIDA")
                .to_owned(),
        };
        format!(
            "{} {} {} {}, {} {}, {how}.",
            self.pick("Revision", "Revisión"),
            signature.revision,
            self.pick("signed by", "firmada por"),
            signature.name,
            self.pick("on", "el"),
            signature.at
        )
    }

    fn vouched(self, office: Option<&str>) -> String {
        match office {
            Some(office) => format!(
                "{} {office}",
                self.pick(
                    "Vouched for by the office with key",
                    "Responde por ella la oficina con la clave"
                )
            ),
            None => self
                .pick(
                    "Key not vouched for: compare it with the tablet's",
                    "Nadie responde por la clave: compárela con la de la tableta",
                )
                .to_owned(),
        }
    }

    fn outcome(self, outcome: Outcome) -> &'static str {
        match outcome {
            Outcome::Good => self.pick("SIGNED AND UNCHANGED", "FIRMADO Y SIN CAMBIOS"),
            Outcome::Changed => self.pick(
                "CHANGED: do not rely on this file",
                "CAMBIADO: no confíe en este archivo",
            ),
            Outcome::Unreadable => self.pick("CANNOT BE READ", "NO SE PUEDE LEER"),
            Outcome::NotSigned => self.pick("NOT SIGNED", "SIN FIRMA"),
            Outcome::OtherKey => self.pick("SIGNED, BUT BY ANOTHER KEY", "FIRMADO, PERO CON OTRA CLAVE"),
        }
    }

    fn kind(self, kind: Kind) -> &'static str {
        match kind {
            Kind::Export => self.pick("Export", "Exportación"),
            Kind::Record => self.pick("Record alone", "Registro solo"),
            Kind::PdfWithExport => self.pick("PDF with an export", "PDF con una exportación"),
            Kind::PdfWithRecord => self.pick("PDF with a record", "PDF con un registro"),
        }
    }

    fn fault(self, code: &str) -> &'static str {
        match code {
            "record_differs" => self.pick(
                "the record is not the one that was signed",
                "el registro no es el que se firmó",
            ),
            "job_differs" => self.pick("the signature is of another job", "la firma es de otro trabajo"),
            "revision_differs" => self.pick(
                "the signature is of another revision",
                "la firma es de otra revisión",
            ),
            "heads_differ" => self.pick(
                "the signature is of other entries",
                "la firma es de otras anotaciones",
            ),
            "seal_missing" => self.pick("the seal was taken off", "se quitó el sello"),
            "seal_wrong" => self.pick(
                "something in the file was changed after it was written",
                "algo se cambió después de escribir el archivo",
            ),
            "certificate_wrong" => self.pick(
                "the office's certificate was changed, or is none of this office",
                "el certificado de la oficina se cambió, o no es de esa oficina",
            ),
            "certificate_other_key"
            | "certificate_other_person"
            | "certificate_not_then"
            | "certificate_may_not_sign" => self.pick(
                "the office's certificate does not fit the signature",
                "el certificado de la oficina no corresponde a la firma",
            ),
            "earlier_signature_wrong" => self.pick(
                "an earlier signature does not hold",
                "una firma anterior no es válida",
            ),
            _ => self.pick("the signature does not hold", "la firma no es válida"),
        }
    }

    fn count(self, count: usize, one: &str, more: &str, uno: &str, mas: &str) -> String {
        let (single, plural) = (self.pick(one, uno), self.pick(more, mas));
        format!("{count} {}", if count == 1 { single } else { plural })
    }

    fn pick<'a>(self, english: &'a str, spanish: &'a str) -> &'a str {
        match self {
            Self::English => english,
            Self::Spanish => spanish,
        }
    }
}
