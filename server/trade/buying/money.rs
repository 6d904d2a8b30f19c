//! Exact amounts of money, each in its own currency.

use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The most that one price can be, in whole units of its currency: so that no sum of a car runs over.
const MOST: i64 = 1_000_000_000;

/// A currency by the three letters of ISO 4217. Whether it exists is not looked up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency([u8; 3]);

/// Why something is no amount of money.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    #[error("‘{0}’ is no currency: three letters, for instance EUR, GBP or USD.")]
    Currency(String),
    #[error("A price is zero or more, at most {MOST}, with two decimals at most.")]
    Amount,
}

impl Currency {
    pub fn parse(text: &str) -> Result<Currency, MoneyError> {
        let letters = text.trim().to_ascii_uppercase();
        match letters.as_bytes() {
            &[one, two, three] if letters.bytes().all(|byte| byte.is_ascii_uppercase()) => {
                Ok(Currency([one, two, three]))
            }
            _ => Err(MoneyError::Currency(text.trim().chars().take(20).collect())),
        }
    }
}

impl std::fmt::Display for Currency {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.iter().try_for_each(|letter| write!(out, "{}", char::from(*letter)))
    }
}

/// An amount of money, zero or more, in hundredths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Money {
    amount: Decimal,
    currency: Currency,
}

impl Money {
    /// Errors: below zero, above a thousand million, or finer than hundredths.
    pub fn new(amount: Decimal, currency: Currency) -> Result<Money, MoneyError> {
        let fits = !amount.is_sign_negative() && amount <= Decimal::from(MOST);
        if !fits || amount.normalize().scale() > 2 {
            return Err(MoneyError::Amount);
        }
        Ok(Money { amount, currency })
    }

    /// From hundredths, as they are stored.
    pub fn from_hundredths(hundredths: i64, currency: Currency) -> Result<Money, MoneyError> {
        Money::new(Decimal::new(hundredths, 2), currency)
    }

    /// As it is stored.
    pub fn hundredths(self) -> i64 {
        // At most 10⁹ with two decimals: it fits.
        i64::try_from((self.amount * Decimal::ONE_HUNDRED).trunc()).unwrap_or(i64::MAX)
    }

    pub fn amount(self) -> Decimal {
        self.amount
    }

    pub fn currency(self) -> Currency {
        self.currency
    }
}

impl std::fmt::Display for Money {
    /// `12.50 EUR`
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{:.2} {}", self.amount, self.currency)
    }
}

/// Sums of money, one for each currency.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Purse(BTreeMap<Currency, Decimal>);

impl Purse {
    pub fn add(&mut self, money: Money) {
        // A price is at most 10⁹, and a decimal holds 10²⁸: no list of prices runs over.
        *self.0.entry(money.currency).or_default() += money.amount;
    }

    /// Both together.
    pub fn and(&self, other: &Purse) -> Purse {
        let mut both = self.clone();
        for (currency, amount) in &other.0 {
            *both.0.entry(*currency).or_default() += amount;
        }
        both
    }

    /// What it holds of a currency; zero where none.
    pub fn of(&self, currency: Currency) -> Decimal {
        self.0.get(&currency).copied().unwrap_or_default()
    }

    /// What it holds, by currency.
    pub fn sums(&self) -> impl Iterator<Item = (Currency, Decimal)> {
        self.0.iter().map(|(currency, sum)| (*currency, *sum))
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// What it holds in other currencies than this.
    pub fn besides(&self, currency: Currency) -> Purse {
        Purse(self.0.iter().filter(|(known, _)| **known != currency).map(|(known, sum)| (*known, *sum)).collect())
    }
}

impl std::fmt::Display for Purse {
    /// `12.50 EUR and 3.00 GBP`; `nothing` where it is empty.
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.0.is_empty() {
            return out.write_str("nothing");
        }
        let all: Vec<String> = self.0.iter().map(|(currency, sum)| format!("{sum:.2} {currency}")).collect();
        out.write_str(&all.join(" and "))
    }
}
