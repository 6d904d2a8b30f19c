//! The kinds of tool, and the squares by which they are driven.

use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::LengthUnit;
use rust_decimal::Decimal;

closed_set! {
    /// What turns a fastener, or stands between it and a ratchet.
    pub enum ToolKind {
        Socket = "socket", "socket";
        LongSocket = "long-socket", "long socket";
        PlugSocket = "plug-socket", "spark plug socket";
        NutDriver = "nut-driver", "nut driver";
        OpenKey = "open-key", "open-ended key";
        RingKey = "ring-key", "ring key";
        BothKey = "both-key", "key, one end open and one a ring";
        FlareNutKey = "flare-nut-key", "flare-nut key";
        HexKey = "hex-key", "hex key or hex bit";
        LobeBit = "lobe-bit", "hex-lobe key or bit";
        SquareKey = "square-key", "square key";
        Crowfoot = "crowfoot", "crowfoot";
        Extension = "extension", "extension";
        Joint = "joint", "universal joint";
        DriveAdapter = "drive-adapter", "drive adapter";
    }
}

impl ToolKind {
    /// Whether it has a size of its own that goes onto or into a fastener.
    pub const fn has_size(self) -> bool {
        match self {
            Self::Socket
            | Self::LongSocket
            | Self::PlugSocket
            | Self::NutDriver
            | Self::OpenKey
            | Self::RingKey
            | Self::BothKey
            | Self::FlareNutKey
            | Self::HexKey
            | Self::LobeBit
            | Self::SquareKey
            | Self::Crowfoot => true,
            Self::Extension | Self::Joint | Self::DriveAdapter => false,
        }
    }

    /// Whether it grips the outside of a hexagon head or nut.
    pub const fn grips_hexagon(self) -> bool {
        match self {
            Self::Socket
            | Self::LongSocket
            | Self::PlugSocket
            | Self::NutDriver
            | Self::OpenKey
            | Self::RingKey
            | Self::BothKey
            | Self::FlareNutKey
            | Self::Crowfoot => true,
            Self::HexKey | Self::LobeBit | Self::SquareKey | Self::Extension | Self::Joint | Self::DriveAdapter => {
                false
            }
        }
    }

    /// Whether a tool of this kind does the work of one that is asked for. A long socket grips what a socket grips, but
    /// may be too long for the place; a key with both ends serves as either.
    pub const fn serves_as(self, asked: Self) -> bool {
        match asked {
            Self::Socket | Self::LongSocket => matches!(self, Self::Socket | Self::LongSocket),
            Self::OpenKey => matches!(self, Self::OpenKey | Self::BothKey),
            Self::RingKey => matches!(self, Self::RingKey | Self::BothKey),
            Self::BothKey => matches!(self, Self::BothKey),
            Self::PlugSocket => matches!(self, Self::PlugSocket),
            Self::NutDriver => matches!(self, Self::NutDriver),
            Self::FlareNutKey => matches!(self, Self::FlareNutKey),
            Self::HexKey => matches!(self, Self::HexKey),
            Self::LobeBit => matches!(self, Self::LobeBit),
            Self::SquareKey => matches!(self, Self::SquareKey),
            Self::Crowfoot => matches!(self, Self::Crowfoot),
            Self::Extension => matches!(self, Self::Extension),
            Self::Joint => matches!(self, Self::Joint),
            Self::DriveAdapter => matches!(self, Self::DriveAdapter),
        }
    }
}

closed_set! {
    /// A driving square by its inch name.
    pub enum Drive {
        Quarter = "1/4", "1/4 in square";
        ThreeEighths = "3/8", "3/8 in square";
        Half = "1/2", "1/2 in square";
        ThreeQuarters = "3/4", "3/4 in square";
        Inch = "1", "1 in square";
    }
}

impl Drive {
    /// Where the five squares come from.
    pub const SOURCE: Citation = Citation::memory("ISO 1174-1");

    /// Its name by ISO 1174-1, in millimetres: 6.3, 10, 12.5, 20, 25 (from memory).
    pub const fn metric_name(self) -> (Decimal, LengthUnit) {
        let tenths = match self {
            Self::Quarter => 63,
            Self::ThreeEighths => 100,
            Self::Half => 125,
            Self::ThreeQuarters => 200,
            Self::Inch => 250,
        };
        (Decimal::from_parts(tenths, 0, 0, false, 1), LengthUnit::Millimetre)
    }

    /// By either name: `1/2` or `12.5`.
    pub fn read(word: &str) -> Option<Self> {
        let named = word.trim_end_matches(['"', '″']);
        Self::from_name(named).or_else(|| {
            let number: Decimal = named.replace(',', ".").parse().ok()?;
            Self::ALL.iter().copied().find(|drive| *drive != Self::Inch && drive.metric_name().0 == number)
        })
    }
}
