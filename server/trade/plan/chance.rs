//! A fixed sequence of numbers that look like chance, the same on every machine: splitmix64 (Steele, Lea and Flood, 2014).

#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Chance {
        Chance(seed)
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (self.0 ^ self.0 >> 30).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ mixed >> 27).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ mixed >> 31
    }

    /// From 0 up to and without 1, on a grid of 2⁻⁵³.
    pub fn fraction(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// One of `0..many`; 0 where there is none.
    pub fn below(&mut self, many: usize) -> usize {
        if many == 0 { 0 } else { (self.next() % many as u64) as usize }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sequence_is_the_published_one() {
        // The widely used test vector of splitmix64 for seed 1234567, from memory.
        let mut chance = Chance::new(1_234_567);
        let drawn: Vec<u64> = (0..3).map(|_| chance.next()).collect();
        assert_eq!(drawn, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }
}
