//! The things of a procedure while some of their keys may still come from a shared file.

use super::file::{
    DimensionWord, ElementTable, ParticularTable, PointTable, RunawayTable, ScrewTable, SpeedControlTable,
    WordTable, text,
};
use super::model::{
    Branch, Element, ElementClass, FlowSide, Owner, ParticularAsked, Point, RunawayLine, Screw, Side,
    SpeedControl, Start, Tap, ToldAs, Word,
};
use super::source::{Instead, Place, Source};
use super::{Fault, ProcedureError, Text};
use crate::journal::Position;
use crate::quantity::Dimension;
use toml::Spanned;

/// One thing: what its file says of it, and where.
pub(super) trait Draft<'a>: Clone + Sized {
    /// Its table in a file.
    type Table;
    /// What it becomes.
    type Whole;
    /// What kind of thing it is, for errors.
    const WHAT: &'static str;

    fn read(source: Source<'a>, table: Spanned<Self::Table>) -> Result<Self, ProcedureError>;
    fn id(&self) -> &str;
    fn place(&self) -> Place<'a>;
    /// The shared file it is taken from.
    fn from(&self) -> Option<super::file::From>;
    /// What it does not say itself, it says as the other does.
    fn over(self, base: &Self) -> Self;
    /// Ids that stand in for others.
    fn instead(&mut self, _: &mut Instead) {}
    fn whole(self) -> Result<Self::Whole, ProcedureError>;
}

/// The keys of one thing that it says itself, else as another says them.
macro_rules! own_or {
    ($own:ident, $base:ident: $($key:ident),*) => {
        Self { $($key: $own.$key.or_else(|| $base.$key.clone()),)* ..$own }
    };
}

/// How a thing is found again: by its id, at its place in its file, in the shared file it is taken from.
macro_rules! found_by {
    (|$own:ident| $id:expr) => {
        fn id(&self) -> &str {
            let $own = self;
            $id
        }

        fn place(&self) -> Place<'a> {
            self.place
        }

        fn from(&self) -> Option<super::file::From> {
            self.from
        }
    };
}

#[derive(Clone, Debug)]
pub(super) struct ElementDraft<'a> {
    place: Place<'a>,
    id: String,
    from: Option<super::file::From>,
    class: Option<ElementClass>,
    side: Option<Side>,
    branch: Option<Branch>,
    tap: Option<Tap>,
    of: Option<Owner>,
    normal: Option<Position>,
    agreed: Option<bool>,
    label: Option<Text>,
}

impl<'a> Draft<'a> for ElementDraft<'a> {
    type Table = ElementTable;
    type Whole = Element;
    const WHAT: &'static str = "element";

    fn read(source: Source<'a>, table: Spanned<ElementTable>) -> Result<Self, ProcedureError> {
        let place = source.at(table.span().start);
        let table = table.into_inner();
        let of = format!("element `{}`", table.id);
        Ok(Self {
            place,
            from: table.from,
            class: table.class,
            side: table.side,
            branch: table.branch,
            tap: table.tap,
            of: table.of,
            normal: table.normal,
            agreed: table.agreed,
            label: table.label.map(|label| text(source, label, &of)).transpose()?,
            id: table.id,
        })
    }

    found_by!(|own| &own.id);

    fn over(self, base: &Self) -> Self {
        own_or!(self, base: class, side, branch, tap, of, normal, agreed, label)
    }

    fn whole(self) -> Result<Element, ProcedureError> {
        let class = self.class.ok_or_else(|| self.place.missing("class"))?;
        Ok(Element {
            class,
            side: self.side.ok_or_else(|| self.place.missing("side"))?,
            branch: self.branch.unwrap_or(match class {
                ElementClass::Bypass => Branch::Bypass,
                _ => Branch::Main,
            }),
            tap: self.tap,
            of: self.of.unwrap_or_default(),
            normal: self.normal.ok_or_else(|| self.place.missing("normal"))?,
            agreed: self.agreed.unwrap_or_default(),
            label: self.label.ok_or_else(|| self.place.missing("label"))?,
            id: self.id,
        })
    }
}

#[derive(Clone, Debug)]
pub(super) struct PointDraft<'a> {
    place: Place<'a>,
    id: String,
    from: Option<super::file::From>,
    label: Option<Text>,
    dimension: Option<Dimension>,
    note: Option<Text>,
    zone: Option<bool>,
}

impl<'a> Draft<'a> for PointDraft<'a> {
    type Table = PointTable;
    type Whole = Point;
    const WHAT: &'static str = "point";

    fn read(source: Source<'a>, table: Spanned<PointTable>) -> Result<Self, ProcedureError> {
        let place = source.at(table.span().start);
        let table = table.into_inner();
        let of = format!("point `{}`", table.id);
        Ok(Self {
            place,
            from: table.from,
            label: table.label.map(|label| text(source, label, &of)).transpose()?,
            dimension: table.dimension.map(DimensionWord::dimension),
            note: table.note.map(|note| text(source, note, &of)).transpose()?,
            zone: table.zone,
            id: table.id,
        })
    }

    found_by!(|own| &own.id);

    fn over(self, base: &Self) -> Self {
        own_or!(self, base: label, dimension, note, zone)
    }

    fn whole(self) -> Result<Point, ProcedureError> {
        Ok(Point {
            label: self.label.ok_or_else(|| self.place.missing("label"))?,
            dimension: self.dimension.unwrap_or(Dimension::Pressure),
            note: self.note,
            zone: self.zone.unwrap_or_default(),
            id: self.id,
        })
    }
}

#[derive(Clone, Debug)]
pub(super) struct ScrewDraft<'a> {
    place: Place<'a>,
    id: String,
    from: Option<super::file::From>,
    label: Option<Text>,
    raises_clockwise: Option<bool>,
    sets: Option<String>,
    starts: Option<Start>,
    flow: Option<FlowSide>,
    target: Option<String>,
    spring: Option<String>,
}

impl<'a> Draft<'a> for ScrewDraft<'a> {
    type Table = ScrewTable;
    type Whole = Screw;
    const WHAT: &'static str = "screw";

    fn read(source: Source<'a>, table: Spanned<ScrewTable>) -> Result<Self, ProcedureError> {
        let place = source.at(table.span().start);
        let table = table.into_inner();
        let of = format!("screw `{}`", table.id);
        Ok(Self {
            place,
            from: table.from,
            label: table.label.map(|label| text(source, label, &of)).transpose()?,
            raises_clockwise: table.raises_clockwise,
            sets: table.sets,
            starts: table.starts,
            flow: table.flow,
            target: table.target,
            spring: table.spring,
            id: table.id,
        })
    }

    found_by!(|own| &own.id);

    fn over(self, base: &Self) -> Self {
        own_or!(self, base: label, raises_clockwise, sets, starts, flow, target, spring)
    }

    fn instead(&mut self, instead: &mut Instead) {
        if let Some(sets) = &mut self.sets {
            instead.put(sets);
        }
    }

    fn whole(self) -> Result<Screw, ProcedureError> {
        Ok(Screw {
            label: self.label.ok_or_else(|| self.place.missing("label"))?,
            raises_clockwise: self
                .raises_clockwise
                .ok_or_else(|| self.place.missing("raises_clockwise"))?,
            sets: self.sets.unwrap_or_else(|| "outlet".to_owned()),
            starts: self.starts.unwrap_or_default(),
            flow: self.flow.unwrap_or_default(),
            target: self.target,
            spring: self.spring.unwrap_or_default(),
            id: self.id,
        })
    }
}

#[derive(Clone, Debug)]
pub(super) struct ControlDraft<'a> {
    place: Place<'a>,
    id: String,
    from: Option<super::file::From>,
    label: Option<Text>,
}

impl<'a> Draft<'a> for ControlDraft<'a> {
    type Table = SpeedControlTable;
    type Whole = SpeedControl;
    const WHAT: &'static str = "speed control";

    fn read(source: Source<'a>, table: Spanned<SpeedControlTable>) -> Result<Self, ProcedureError> {
        let place = source.at(table.span().start);
        let table = table.into_inner();
        let of = format!("speed control `{}`", table.id);
        Ok(Self {
            place,
            from: table.from,
            label: table.label.map(|label| text(source, label, &of)).transpose()?,
            id: table.id,
        })
    }

    found_by!(|own| &own.id);

    fn over(self, base: &Self) -> Self {
        own_or!(self, base: label)
    }

    fn whole(self) -> Result<SpeedControl, ProcedureError> {
        Ok(SpeedControl {
            label: self.label.ok_or_else(|| self.place.missing("label"))?,
            id: self.id,
        })
    }
}

#[derive(Clone, Debug)]
pub(super) struct ParticularDraft<'a> {
    place: Place<'a>,
    name: String,
    from: Option<super::file::From>,
    label: Option<Text>,
    of: Option<Owner>,
    told_as: Option<ToldAs>,
    /// Whether every procedure asks for it.
    pub always: bool,
}

impl<'a> Draft<'a> for ParticularDraft<'a> {
    type Table = ParticularTable;
    type Whole = ParticularAsked;
    const WHAT: &'static str = "particular";

    fn read(source: Source<'a>, table: Spanned<ParticularTable>) -> Result<Self, ProcedureError> {
        let place = source.at(table.span().start);
        let table = table.into_inner();
        let of = format!("particular `{}`", table.name);
        let told_as = match (table.figure, table.choice) {
            (Some(all), None) => Some(ToldAs::Figure(
                all.into_iter().map(DimensionWord::dimension).collect(),
            )),
            (None, Some(words)) => Some(ToldAs::Choice(
                words
                    .into_iter()
                    .map(|WordTable { id, label }| {
                        Ok(Word {
                            label: text(source, label, &id)?,
                            id,
                        })
                    })
                    .collect::<Result<_, ProcedureError>>()?,
            )),
            (None, None) => None,
            (Some(_), Some(_)) => {
                let reason = format!("{of} is a figure or a choice, not both");
                return Err(place.error(Fault::Syntax(reason)));
            }
        };
        Ok(Self {
            place,
            from: table.from,
            label: table.label.map(|label| text(source, label, &of)).transpose()?,
            of: table.of,
            told_as,
            always: table.always.unwrap_or_default(),
            name: table.name,
        })
    }

    found_by!(|own| &own.name);

    fn over(self, base: &Self) -> Self {
        own_or!(self, base: label, of, told_as)
    }

    fn whole(self) -> Result<ParticularAsked, ProcedureError> {
        Ok(ParticularAsked {
            label: self.label.ok_or_else(|| self.place.missing("label"))?,
            of: self.of.unwrap_or_default(),
            told_as: self.told_as.unwrap_or(ToldAs::Words),
            name: self.name,
        })
    }
}

#[derive(Clone, Debug)]
pub(super) struct RunawayDraft<'a> {
    place: Place<'a>,
    id: Option<String>,
    from: Option<super::file::From>,
    say: Option<Text>,
    element: Option<String>,
}

impl<'a> Draft<'a> for RunawayDraft<'a> {
    type Table = RunawayTable;
    type Whole = RunawayLine;
    const WHAT: &'static str = "line of the runaway card";

    fn read(source: Source<'a>, table: Spanned<RunawayTable>) -> Result<Self, ProcedureError> {
        let place = source.at(table.span().start);
        let table = table.into_inner();
        Ok(Self {
            place,
            id: table.id,
            from: table.from,
            say: table
                .say
                .map(|say| text(source, say, "a line of the runaway card"))
                .transpose()?,
            element: table.element,
        })
    }

    found_by!(|own| own.id.as_deref().unwrap_or_default());

    fn over(self, base: &Self) -> Self {
        own_or!(self, base: say, element)
    }

    fn instead(&mut self, instead: &mut Instead) {
        if let Some(element) = &mut self.element {
            instead.put(element);
        }
    }

    fn whole(self) -> Result<RunawayLine, ProcedureError> {
        Ok(RunawayLine {
            say: self.say.ok_or_else(|| self.place.missing("say"))?,
            element: self.element,
        })
    }
}
