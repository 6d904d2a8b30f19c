//! The rules of the card checker: their names and how much each weighs. What each asks stands in the file of its subject.

use crate::trade::closed_set::closed_set;

closed_set! {
    /// How much a finding of the checker matters.
    pub enum Weight {
        Stop = "stop", "Stop";
        Warn = "warn", "Warn";
        Note = "note", "Note";
    }
}

closed_set! {
    /// What the checker looks for. The label is the headline over the reason.
    pub enum Rule {
        // lifting
        RaisedUnchocked = "raised-unchocked", "Nothing holds the wheels that stay down";
        UnderOnJack = "under-on-jack", "Under a car that only a jack holds";
        StandsGone = "stands-gone", "The stands that this step counts on are away";
        LoweredOnProp = "lowered-on-prop", "Let down onto a prop";
        LoweredLoadOff = "lowered-load-off", "Let down with a load-bearing fastener undone";
        LoweredWheelOff = "lowered-wheel-off", "Let down with a wheel off";
        // fasteners
        NoFigure = "no-figure", "To be tightened, and no torque says how far";
        FigureGuessed = "figure-guessed", "The torque is only a guess";
        FigureOpen = "figure-open", "Sources disagree about the torque";
        FigureElse = "figure-else", "A value for another variant than this car";
        PartnerOut = "partner-out", "Pulled tight before its partner is in";
        BushHanging = "bush-hanging", "A rubber bush clamped while the wheel hangs";
        WheelInTheAir = "wheel-in-the-air", "Wheel fixings pulled to torque in the air";
        UsedOnceAgain = "used-once-again", "A part that serves once is used again";
        AngleBoltAgain = "angle-bolt-again", "A bolt tightened by angle is used again";
        NeverTightened = "never-tightened", "Undone, and no step brings it to its torque";
        ToolOffSize = "tool-off-size", "The tool is of another size than the bolt’s head";
        WheelsNotRepeated = "wheels-not-repeated", "Wheel fixings not tightened again after the drive";
        /// Asked at the tick itself, from the bolt picture: no card can be checked for it.
        BoltsLeft = "bolts-left", "Bolts are not counted tight yet";
        // fluids
        FillerUnproven = "filler-unproven", "Drained before the filler is known to open";
        CatchTooSmall = "catch-too-small", "More comes out than the pan holds";
        NothingToCatch = "nothing-to-catch", "Nothing to catch it in";
        FluidUnsuited = "fluid-unsuited", "The fluid does not suit the system";
        FluidsMixed = "fluids-mixed", "Two fluids that must not meet";
        LevelTilted = "level-tilted", "A level read on a slope";
        LevelCold = "level-cold", "A level to be read warm, read cold";
        LevelHot = "level-hot", "A level to be read cold, read hot";
        LevelEngine = "level-engine", "A level read with the engine in the wrong state";
        LeftDry = "left-dry", "Drained, and no step fills it";
        RunDry = "run-dry", "Run without its fluid";
        // hydraulics
        NeverBled = "never-bled", "Opened, and no step lets the air out";
        PedalUnproven = "pedal-unproven", "No step proves that the pedal is firm";
        PedalNotPumped = "pedal-not-pumped", "Moved before the brakes were pumped up";
        // heat, fire, gas
        OpenedHot = "opened-hot", "Cooling system opened hot";
        FuelOnHot = "fuel-on-hot", "Fuel opened beside something hot";
        FuelBySpark = "fuel-by-spark", "Fuel opened with the battery joined";
        GasIndoors = "gas-indoors", "Engine run with nowhere for the gas to go";
        // electrics, timing
        BatteryLive = "battery-live", "Worked on with the battery joined";
        TimingUnmarked = "timing-unmarked", "Timing drive opened with nothing marked";
        TimingUnproven = "timing-unproven", "Timing drive fitted and its marks not looked at again";
        // people, order
        HelperUnplanned = "helper-unplanned", "Takes two, and nobody is asked";
        OpenedTwice = "opened-twice", "The same access is opened twice";
        // what is left
        LeftInside = "left-inside", "Something is left inside";
        LeftUp = "left-up", "The car is left up";
        LeftOff = "left-off", "A part is left off";
        LeftOpen = "left-open", "An opening is left open";
        LeftParted = "left-parted", "A connection is left parted";
        LeftPropped = "left-propped", "A prop is left holding";
        DrivenApart = "driven-apart", "Driven with something undone";
    }
}

impl Rule {
    /// How much it weighs: `Stop` where somebody can be hurt or something dear is ruined, `Warn` where work is likely to be
    /// done again, `Note` where it could be done in a better order.
    pub fn weight(self) -> Weight {
        match self {
            Rule::RaisedUnchocked
            | Rule::UnderOnJack
            | Rule::LoweredOnProp
            | Rule::LoweredLoadOff
            | Rule::LoweredWheelOff
            | Rule::FigureOpen
            | Rule::BushHanging
            | Rule::NeverTightened
            | Rule::FillerUnproven
            | Rule::CatchTooSmall
            | Rule::FluidUnsuited
            | Rule::FluidsMixed
            | Rule::LeftDry
            | Rule::RunDry
            | Rule::NeverBled
            | Rule::PedalUnproven
            | Rule::PedalNotPumped
            | Rule::OpenedHot
            | Rule::FuelOnHot
            | Rule::FuelBySpark
            | Rule::BatteryLive
            | Rule::TimingUnmarked
            | Rule::TimingUnproven
            | Rule::LeftInside
            | Rule::DrivenApart => Weight::Stop,
            Rule::StandsGone
            | Rule::NoFigure
            | Rule::FigureGuessed
            | Rule::FigureElse
            | Rule::PartnerOut
            | Rule::WheelInTheAir
            | Rule::UsedOnceAgain
            | Rule::AngleBoltAgain
            | Rule::BoltsLeft
            | Rule::NothingToCatch
            | Rule::LevelTilted
            | Rule::LevelCold
            | Rule::LevelHot
            | Rule::LevelEngine
            | Rule::GasIndoors
            | Rule::HelperUnplanned
            | Rule::LeftUp
            | Rule::LeftOff
            | Rule::LeftOpen
            | Rule::LeftParted
            | Rule::LeftPropped => Weight::Warn,
            Rule::WheelsNotRepeated | Rule::OpenedTwice | Rule::ToolOffSize => Weight::Note,
        }
    }
}
