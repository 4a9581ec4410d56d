//! The procedures that come with the product.

use super::{Parts, Procedure, ProcedureError};

/// The procedures at hand, by id.
#[derive(Clone, Debug, PartialEq)]
pub struct Procedures {
    all: Vec<Procedure>,
}

impl Procedures {
    /// The files that procedures share, for owners' own procedures too: under the name by which one takes from them.
    pub const SHARED: &[(&'static str, &'static str)] = &[
        ("common", include_str!("../../procedures/common.toml")),
        ("regulating", include_str!("../../procedures/regulating.toml")),
    ];

    /// The procedures that any valve can be worked by beside its own: a service visit, and out of service.
    pub const ANY_VALVE: [&'static str; 2] = ["service", "shut_down"];

    const FILES: &[&str] = &[
        include_str!("../../procedures/reducing.toml"),
        include_str!("../../procedures/sustaining.toml"),
        include_str!("../../procedures/reducing_sustaining.toml"),
        include_str!("../../procedures/relief.toml"),
        include_str!("../../procedures/large_with_relief.toml"),
        include_str!("../../procedures/parallel_low_flow.toml"),
        include_str!("../../procedures/parallel_large.toml"),
        include_str!("../../procedures/service.toml"),
        include_str!("../../procedures/shut_down.toml"),
    ];

    /// The procedures that come with the product.
    ///
    /// # Errors
    /// What is wrong with a file. The tests of this module read every one of them.
    pub fn built_in() -> Result<Self, ProcedureError> {
        let parts = Parts::read(Self::SHARED)?;
        let all = Self::FILES.iter().map(|file| Procedure::parse(file, &parts));
        Ok(Self {
            all: all.collect::<Result<_, _>>()?,
        })
    }

    /// One of them.
    pub fn get(&self, id: &str) -> Option<&Procedure> {
        self.all.iter().find(|procedure| procedure.id == id)
    }

    /// Puts one in the place of the one of its id, or behind the others.
    pub(super) fn put(&mut self, procedure: Procedure) {
        match self.all.iter_mut().find(|known| known.id == procedure.id) {
            Some(known) => *known = procedure,
            None => self.all.push(procedure),
        }
    }

    /// Takes one away.
    pub(super) fn remove(&mut self, id: &str) {
        self.all.retain(|procedure| procedure.id != id);
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
        assert_eq!(
            ids,
            [
                "reducing",
                "sustaining",
                "reducing_sustaining",
                "relief",
                "large_with_relief",
                "parallel_low_flow",
                "parallel_large",
                "service",
                "shut_down"
            ]
        );
    }
}
