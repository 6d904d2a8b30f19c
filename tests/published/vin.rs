//! Vehicle identification numbers: 49 CFR 565.15(c), letter values, weights and sample number read in the regulation; model
//! year letters and the 30-year round read in secondary pages (the regulation's table VII itself was not read).

use underlamp::trade::marking::{CheckDigit, Vin, VinError, read};

/// Source: the regulation's own sample (table V of that edition); a made-up number of general teaching; an identity.
const VINS: [(&str, char); 3] = [("1G4AH59H45G118341", '4'), ("1M8GDM9AXKP042788", 'X'), ("11111111111111111", '1')];

#[test]
fn the_sample_numbers_have_the_right_check_digit() {
    for (vin, check) in VINS {
        let vin = Vin::parse(vin).unwrap();
        assert_eq!(vin.check_digit(), CheckDigit::Holds, "{}", vin.as_str());
        assert_eq!(vin.as_str().chars().nth(8), Some(check));
    }
}

/// Source: the weights are prime to 11 and all values differ by less than 11.
#[test]
fn any_other_value_at_any_place_breaks_the_check() {
    for (vin, _) in VINS {
        for place in 0..17 {
            for letter in "0123456789".chars() {
                let mut changed: Vec<char> = vin.chars().collect();
                if same_value(changed[place], letter) {
                    continue;
                }
                changed[place] = letter;
                let changed = Vin::parse(&changed.iter().collect::<String>()).unwrap();
                assert_ne!(changed.check_digit(), CheckDigit::Holds, "{}", changed.as_str());
            }
        }
    }
}

/// Source: the value table of the regulation.
fn same_value(letter: char, figure: char) -> bool {
    const VALUES: [(&str, char); 9] = [
        ("AJ", '1'),
        ("BKS", '2'),
        ("CLT", '3'),
        ("DMU", '4'),
        ("ENV", '5'),
        ("FW", '6'),
        ("GPX", '7'),
        ("HY", '8'),
        ("RZ", '9'),
    ];
    letter == figure || VALUES.iter().any(|(letters, value)| letters.contains(letter) && *value == figure)
}

/// Source: the year codes as secondary pages print them.
#[test]
fn the_year_code_comes_round_every_thirty_years() {
    let codes = "ABCDEFGHJKLMNPRSTVWXY123456789";
    for (at, code) in codes.chars().enumerate() {
        let vin = Vin::parse(&format!("1M8GDM9AX{code}P042788")).unwrap();
        let first = 1980 + at as u32;
        assert_eq!(vin.model_years(), [first, first + 30], "{code}");
    }
    for code in ['U', 'Z', '0'] {
        let vin = Vin::parse(&format!("1M8GDM9AX{code}P042788")).unwrap();
        assert!(vin.model_years().is_empty(), "{code}");
    }
}

/// Source: 49 CFR 565.25(b) and 565.15(b): position 7 is a figure in the first thirty years and a letter in the second.
#[test]
fn position_seven_tells_the_two_rounds_apart() {
    let figure = Vin::parse("1G4AH59H45G118341").unwrap();
    assert_eq!((figure.model_years(), figure.likely_year()), (vec![2005, 2035], Some(2005)));
    let letter = Vin::parse("1G4AH5HH45G118341").unwrap();
    assert_eq!(letter.likely_year(), Some(2035));
    let elsewhere = Vin::parse("WG4AH59H45G118341").unwrap();
    assert_eq!(elsewhere.likely_year(), None);
}

/// Source: 49 CFR 565.15: I, O and Q never occur.
#[test]
fn look_alike_letters_are_refused_with_the_figure_that_was_meant() {
    for (letter, instead) in [('I', "1"), ('O', "0"), ('Q', "0")] {
        let vin = format!("1M8GDM9AXKP0427{letter}8");
        assert_eq!(Vin::parse(&vin), Err(VinError::LookAlike { letter, position: 16, instead }));
        assert!(read(&vin)[0].means.contains("never used"));
    }
}

/// Source: 17 characters are required from model year 1981.
#[test]
fn an_older_number_is_kept_as_text_and_not_called_wrong() {
    let refusal = Vin::parse("1M8GDM9AXKP04278").unwrap_err();
    assert_eq!(refusal, VinError::NotSeventeen(16));
    assert!(refusal.to_string().contains("older car"));
    assert!(read("VIN 12345")[0].means.contains("5 characters"));
}
