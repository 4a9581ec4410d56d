//! The procedures that come with the product.

use super::{Procedure, ProcedureError};

/// The procedures at hand, by id.
#[derive(Clone, Debug, PartialEq)]
pub struct Procedures {
    all: Vec<Procedure>,
}

impl Procedures {
    /// The file of what all procedures have in common, for owners' own procedures.
    pub const COMMON: &str = include_str!("../../procedures/common.toml");

    const FILES: &[&str] = &[
        include_str!("../../procedures/reducing.toml"),
        include_str!("../../procedures/shut_down.toml"),
    ];

    /// The procedures that come with the product.
    ///
    /// # Errors
    /// What is wrong with a file. The tests of this module read every one of them.
    pub fn built_in() -> Result<Self, ProcedureError> {
        let all = Self::FILES
            .iter()
            .map(|file| Procedure::parse(file, Self::COMMON));
        Ok(Self {
            all: all.collect::<Result<_, _>>()?,
        })
    }

    /// One of them.
    pub fn get(&self, id: &str) -> Option<&Procedure> {
        self.all.iter().find(|procedure| procedure.id == id)
    }

    /// All of them, the one to bring a valve into service first.
    pub fn iter(&self) -> impl Iterator<Item = &Procedure> {
        self.all.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_procedure_reads() {
        let procedures = Procedures::built_in().map_err(|error| error.to_string()).unwrap();
        let ids: Vec<&str> = procedures.iter().map(|procedure| procedure.id.as_str()).collect();
        assert_eq!(ids, ["reducing", "shut_down"]);
    }
}
