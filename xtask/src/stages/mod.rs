//! The stages of `cargo xtask test`, in the order in which they run. A stage that is listed runs: none looks whether
//! there is something for it to do.

mod browser;
mod demo;
mod fuzz;
mod reference;
mod room;
mod rust;
pub mod tools;
pub mod types;
pub mod ui;
mod window;

use crate::run::Counts;
use crate::tidy;
use crate::workspace::Workspace;
use anyhow::{Result, ensure};

/// One stage.
pub struct Stage {
    /// What `--only` calls it.
    pub name: &'static str,
    /// What it does, in a line.
    pub about: &'static str,
    /// Earlier stages without which it makes no sense.
    pub needs: &'static [&'static str],
    /// The stage itself: how many checks held and how many did not, or why that cannot be said.
    pub run: fn(&Workspace) -> Result<Counts>,
}

/// All of them. The quick ones come first, so that a slip shows early; the screens are built before the Rust code
/// that embeds them.
pub const STAGES: &[Stage] = &[
    Stage {
        name: "fmt",
        about: "Rust code is formatted",
        needs: &[],
        run: rust::format,
    },
    Stage {
        name: "tidy",
        about: "house rules hold",
        needs: &[],
        run: |workspace| {
            let broken = tidy::check(workspace)?;
            ensure!(broken == 0, "{broken} house rules are broken");
            Ok(Counts::ONE)
        },
    },
    Stage {
        name: "room",
        about: "the disk has room for what is built",
        needs: &[],
        run: room::check,
    },
    Stage {
        name: "tools",
        about: "what the checks need is installed",
        needs: &["room"],
        run: tools::install,
    },
    Stage {
        name: "ui-build",
        about: "the screens build",
        needs: &["tools"],
        run: ui::build,
    },
    Stage {
        name: "ui-check",
        about: "the screens' types hold",
        needs: &["ui-build"],
        run: ui::check,
    },
    Stage {
        name: "ui-test",
        about: "the screens' parts do what they say",
        needs: &["ui-build"],
        run: ui::test,
    },
    Stage {
        name: "clippy",
        about: "no lint speaks up, in any crate or test",
        needs: &["room", "ui-build"],
        run: rust::lint,
    },
    Stage {
        name: "build",
        about: "everything in Rust builds from the lock file",
        needs: &["ui-build"],
        run: rust::build,
    },
    Stage {
        name: "types",
        about: "the screens' types are the core's",
        needs: &["build"],
        run: types::check,
    },
    Stage {
        name: "rust",
        about: "all Rust tests",
        needs: &["build"],
        run: rust::test,
    },
    Stage {
        name: "reference",
        about: "figures agree with other people's libraries",
        needs: &["build"],
        run: reference::run,
    },
    Stage {
        name: "fuzz",
        about: "foreign bytes do no harm, for a bounded run",
        needs: &["tools"],
        run: fuzz::run,
    },
    Stage {
        name: "demo",
        about: "the scripted job ends as it should",
        needs: &["build"],
        run: demo::run,
    },
    Stage {
        name: "browser",
        about: "the main job in a real browser",
        needs: &["build"],
        run: browser::run,
    },
    Stage {
        name: "window",
        about: "the native window, killed and opened again",
        needs: &["build"],
        run: window::run,
    },
];
