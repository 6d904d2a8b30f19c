//! Ids, each its own type, so that a card's id can never be passed where a step's is wanted.

/// Declares an id: a UUID with text, serde and SQLite (as text) forms.
macro_rules! id {
    ($($(#[$doc:meta])* $name:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub uuid::Uuid);

        impl $name {
            /// A new id that sorts after those made before it (UUIDv7).
            pub fn new() -> Self {
                Self(uuid::Uuid::now_v7())
            }
        }

        impl Default for $name {
            fn default() -> Self {
                Self::new()
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(out)
            }
        }

        impl std::str::FromStr for $name {
            type Err = uuid::Error;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                uuid::Uuid::parse_str(text).map(Self)
            }
        }

        impl sqlx::Type<sqlx::Sqlite> for $name {
            fn type_info() -> sqlx::sqlite::SqliteTypeInfo {
                <String as sqlx::Type<sqlx::Sqlite>>::type_info()
            }
            fn compatible(ty: &sqlx::sqlite::SqliteTypeInfo) -> bool {
                <String as sqlx::Type<sqlx::Sqlite>>::compatible(ty)
            }
        }

        impl<'q> sqlx::Encode<'q, sqlx::Sqlite> for $name {
            fn encode_by_ref(
                &self,
                out: &mut <sqlx::Sqlite as sqlx::Database>::ArgumentBuffer,
            ) -> Result<sqlx::encode::IsNull, sqlx::error::BoxDynError> {
                <String as sqlx::Encode<'q, sqlx::Sqlite>>::encode(self.to_string(), out)
            }
        }

        impl<'r> sqlx::Decode<'r, sqlx::Sqlite> for $name {
            fn decode(value: sqlx::sqlite::SqliteValueRef<'r>) -> Result<Self, sqlx::error::BoxDynError> {
                let text = <&str as sqlx::Decode<'r, sqlx::Sqlite>>::decode(value)?;
                Ok(text.parse()?)
            }
        }
    )+};
}

id! {
    /// This database. Changes when a backup is restored.
    StoreId;
    /// A paired browser: a desk or a phone.
    DeviceId;
    CarId;
    SpecId;
    /// What one source says for a spec.
    SpecValueId;
    CardId;
    StepId;
    PartId;
    /// A torque wrench of the tool chest.
    WrenchId;
    /// A link by which a helper reads one job.
    HelperLinkId;
    /// A socket, key or adapter of the tool chest.
    ToolId;
    /// A size of bottle that a shop sells.
    BottleId;
    /// A bottle on the shelf.
    ShelfFluidId;
    /// Time to work on a car.
    EveningId;
    /// A link by which a calendar program reads the evenings.
    CalendarLinkId;
    /// Something that is kept up: done again and again.
    UpkeepItemId;
    /// An odometer reading from a paper, of a day before this book.
    PaperId;
    /// A part that turns, against which clips of sound are held.
    TurningPartId;
    /// An operation: one thing a person did.
    OpId;
}
