//! Enumerations whose members have stable codes.

/// An enumeration with, for each member, its documentation and its code, which is also how it stands in JSON.
macro_rules! coded {
    ($(#[$doc:meta])* $name:ident { $($(#[$of:meta])* $member:ident = $code:literal,)* }) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[derive(serde::Serialize, serde::Deserialize, ts_rs::TS)]
        $(#[$doc])*
        pub enum $name {
            $($(#[$of])* #[serde(rename = $code)] $member,)*
        }

        impl $name {
            /// Every one of them, in order.
            pub const ALL: &'static [Self] = &[$(Self::$member),*];

            /// The stable code, as it stands in JSON.
            pub fn code(self) -> &'static str {
                match self {
                    $(Self::$member => $code,)*
                }
            }
        }
    };
}

pub(super) use coded;
