//! What a price is shared out to, where several jobs ask for the same thing.

use super::many::Many;
use super::money::Money;
use rust_decimal::Decimal;

/// One sentence for the page that shows it.
pub const SHARED_OUT: &str = "What several jobs ask for is bought once: its price is shared out by how much each asks \
                              for, or in equal parts where that cannot be counted.";

/// Shares a price out among the jobs that ask for a thing, so that the shares come to it exactly: by how much each asks for
/// where all can be compared, else in equal parts. Hundredths that are left over go to the first, one to each.
pub fn shared_out(price: Money, asks: &[Many]) -> Vec<Money> {
    let weights = weights(asks);
    let whole: Decimal = weights.iter().copied().sum();
    let hundred = Decimal::ONE_HUNDRED;
    let minor = price.amount() * hundred;
    let mut shares: Vec<Decimal> = weights.iter().map(|weight| (minor * weight / whole).floor()).collect();
    let mut left = minor - shares.iter().copied().sum::<Decimal>();
    for share in &mut shares {
        if left < Decimal::ONE {
            break;
        }
        *share += Decimal::ONE;
        left -= Decimal::ONE;
    }
    let money = |share: Decimal| Money::new(share / hundred, price.currency()).unwrap_or(price);
    shares.into_iter().map(money).collect()
}

/// At most some hundred asks of at most a hundred thousand: no sum runs over.
fn weights(asks: &[Many]) -> Vec<Decimal> {
    let comparable = asks.windows(2).all(|pair| pair[0].or(&pair[1]).is_some());
    let numbers: Option<Vec<Decimal>> = asks.iter().map(Many::number).collect();
    match numbers.filter(|_| comparable) {
        Some(numbers) if numbers.iter().all(|number| *number > Decimal::ZERO) => numbers,
        _ => vec![Decimal::ONE; asks.len()],
    }
}
