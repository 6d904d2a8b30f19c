//! Reading an order as somebody types it: `1 5 3 7 2 6 4 8`, with blanks, commas, dashes or arrows between.

use thiserror::Error;

/// Why a typed order was not taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum OrderError {
    #[error("No order is written: write the numbers of the bolts, such as 1 3 2 4.")]
    Empty,
    #[error("‘{0}’ is not the number of a bolt: write whole numbers from 1 on, such as 1 3 2 4.")]
    NotANumber(String),
    #[error("Bolt {0} comes twice: each bolt is tightened once a round.")]
    Twice(usize),
    #[error("Bolt {missing} is missing, although the order goes up to {highest}.")]
    Missing { missing: usize, highest: usize },
    #[error("An order of more than {} bolts is not taken.", super::MOST)]
    TooLong,
}

/// Numbers from 0, each below the count once.
pub(super) fn read(text: &str) -> Result<Vec<usize>, OrderError> {
    let words = text
        .split(|letter: char| letter.is_whitespace() || ",;-–—→>/".contains(letter))
        .filter(|word| !word.is_empty());
    let mut order: Vec<usize> = Vec::new();
    for word in words {
        let number = word.parse::<usize>().ok().filter(|number| *number > 0 && *number < 1000);
        let number = number.ok_or_else(|| OrderError::NotANumber(word.chars().take(20).collect()))?;
        if order.contains(&number) {
            return Err(OrderError::Twice(number));
        }
        if order.len() == super::MOST {
            return Err(OrderError::TooLong);
        }
        order.push(number);
    }
    let highest = order.iter().copied().max().ok_or(OrderError::Empty)?;
    match (1..=highest).find(|number| !order.contains(number)) {
        Some(missing) => Err(OrderError::Missing { missing, highest }),
        None => Ok(order.into_iter().map(|number| number - 1).collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_are_read_as_people_type_them() {
        for text in ["1 3 2 4", "1,3,2,4", "1 - 3 - 2 - 4", "1→3→2→4", " 1 > 3 > 2 > 4 "] {
            assert_eq!(read(text), Ok(vec![0, 2, 1, 3]), "{text}");
        }
    }

    #[test]
    fn orders_that_do_not_name_every_bolt_once_are_refused() {
        for (text, error) in [
            ("", OrderError::Empty),
            (" , ", OrderError::Empty),
            ("1 2 two", OrderError::NotANumber("two".into())),
            ("0 1 2", OrderError::NotANumber("0".into())),
            ("1 2 1", OrderError::Twice(1)),
            ("1 2 4", OrderError::Missing { missing: 3, highest: 4 }),
            ("1 99999999999999999999", OrderError::NotANumber("99999999999999999999".into())),
        ] {
            assert_eq!(read(text), Err(error), "{text}");
        }
        let long: Vec<String> = (1..=41).map(|number| number.to_string()).collect();
        assert_eq!(read(&long.join(" ")), Err(OrderError::TooLong));
    }

    proptest::proptest! {
        #[test]
        fn whatever_is_typed_gets_an_order_or_a_sentence(text in "\\PC{0,30}", shaped in "[0-9 ,]{0,30}") {
            for text in [text, shaped] {
                match read(&text) {
                    Ok(mut order) => {
                        order.sort_unstable();
                        proptest::prop_assert!(order.iter().enumerate().all(|(index, bolt)| index == *bolt));
                    }
                    Err(error) => proptest::prop_assert!(error.to_string().ends_with('.')),
                }
            }
        }
    }
}
