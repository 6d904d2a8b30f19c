//! One way to write a closed set of names: an enum whose members have a stable text form, used in the
//! database, in TOML and in JSON alike, and a label for people.

/// Declares an enum with `ALL`, `name()`, `from_name()`, `label()` and serde by name.
///
/// `name` is what is stored and never changes; `label` is what a person reads.
macro_rules! closed_set {
    ($(#[$doc:meta])* pub enum $set:ident { $($(#[$member_doc:meta])* $member:ident = $name:literal, $label:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $set { $($(#[$member_doc])* $member,)+ }

        impl $set {
            pub const ALL: &'static [$set] = &[$($set::$member,)+];

            /// The stable text form.
            pub fn name(self) -> &'static str {
                match self { $($set::$member => $name,)+ }
            }

            /// What a person reads.
            pub fn label(self) -> &'static str {
                match self { $($set::$member => $label,)+ }
            }

            pub fn from_name(name: &str) -> Option<$set> {
                match name { $($name => Some($set::$member),)+ _ => None }
            }
        }

        impl serde::Serialize for $set {
            fn serialize<S: serde::Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
                out.serialize_str(self.name())
            }
        }

        impl<'de> serde::Deserialize<'de> for $set {
            fn deserialize<D: serde::Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
                let name = <std::borrow::Cow<'de, str> as serde::Deserialize>::deserialize(input)?;
                $set::from_name(&name).ok_or_else(|| {
                    serde::de::Error::custom(format!("‘{name}’ is none of: {}", [$($name,)+].join(", ")))
                })
            }
        }

        impl std::fmt::Display for $set {
            fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                out.write_str(self.label())
            }
        }
    };
}

pub(crate) use closed_set;
