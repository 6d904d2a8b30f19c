//! What must never go in, in one line for the phone. The tests hold every name in it against `suits`.

use super::brake::BrakeBase;
use super::class::Fluid;
use super::gear_oil::GearService;

/// One sentence; none where the class tells nothing that must be kept out.
pub fn never(fluid: &Fluid) -> Option<&'static str> {
    match fluid {
        Fluid::Brake(brake) => Some(match brake.base() {
            BrakeBase::Glycol => "Never silicone DOT 5, never mineral oil: the brakes can fail.",
            BrakeBase::Silicone => "Never DOT 3, DOT 4, DOT 5.1 or mineral oil: the brakes can fail.",
            BrakeBase::Mineral => "Never DOT brake fluid: it ruins the seals within hours.",
        }),
        Fluid::EngineOil(_) => Some("Never gear oil or brake fluid, not even to top up."),
        Fluid::GearOil(oil) => match oil.service {
            Some(GearService::Gl5) => Some("Never GL-4 or lower: hypoid teeth score without GL-5."),
            Some(GearService::Gl4) => {
                Some("Never plain GL-5: it may eat brass rings. Never engine oil unless the book says so.")
            }
            Some(GearService::Gl1) => Some("Never GL-4 or GL-5 on a guess: their additives may eat bronze and brass."),
            Some(GearService::Gl2 | GearService::Gl3 | GearService::Gl6 | GearService::Mt1) | None => {
                Some("Never by thickness alone: find out whether GL-4 or GL-5 is asked for.")
            }
        },
        Fluid::AutomaticTransmission => {
            Some("Never engine oil or gear oil: only the specification that the maker names.")
        }
        Fluid::Coolant(_) => Some("Never another kind of inhibitor on top of it: together they may set to jelly."),
        Fluid::PowerSteering => Some("Never brake fluid: it ruins every seal."),
        Fluid::Refrigerant => Some("Never open it yourself: work for licensed people."),
        Fluid::Grease(_) | Fluid::Washer => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Verdict, suits};
    use super::*;

    #[test]
    fn what_is_named_as_never_is_refused_by_the_rule_that_judges_bottles() {
        for (wanted, offered) in [
            ("DOT 4", "DOT 5"),
            ("DOT 4", "mineral hydraulic oil"),
            ("DOT 5", "DOT 3"),
            ("DOT 5", "DOT 5.1"),
            ("DOT 5", "mineral hydraulic oil"),
            ("mineral brake oil", "DOT 4"),
            ("SAE 20W-50", "SAE 90 GL-5"),
            ("SAE 20W-50", "DOT 4"),
            ("SAE 90 GL-5", "SAE 90 GL-4"),
            ("ATF", "SAE 30"),
            ("power steering fluid", "DOT 4"),
            ("R134a", "R134a"),
        ] {
            let (wanted, offered) = (Fluid::parse(wanted).unwrap(), Fluid::parse(offered).unwrap());
            assert!(never(&wanted).is_some(), "{wanted}");
            assert_eq!(suits(&wanted, &offered).verdict, Verdict::No, "{offered} for {wanted}");
        }
        let gl4 = Fluid::parse("SAE 80W GL-4").unwrap();
        assert_ne!(suits(&gl4, &Fluid::parse("SAE 80W GL-5").unwrap()).verdict, Verdict::Yes);
        let gl1 = Fluid::parse("SAE 90 GL-1").unwrap();
        for service in ["SAE 90 GL-4", "SAE 90 GL-5"] {
            assert_ne!(suits(&gl1, &Fluid::parse(service).unwrap()).verdict, Verdict::Yes, "{service}");
        }
        let oat = suits(&Fluid::parse("IAT coolant").unwrap(), &Fluid::parse("OAT coolant").unwrap());
        assert_ne!(oat.verdict, Verdict::Yes);
    }
}
