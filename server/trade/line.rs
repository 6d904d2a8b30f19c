//! The straight line through points by least squares, and how far its slope can be trusted.

/// A straight line. It goes through its centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    /// Means of x and of y.
    pub centre: (f64, f64),
    pub slope: f64,
    /// Standard error of the slope: its square is the residual sum over (points − 2), over the spread of x.
    pub slope_error: f64,
}

impl Line {
    /// At least three points, not all of one x.
    pub fn through(points: &[(f64, f64)]) -> Line {
        let count = points.len() as f64;
        let mean = |part: fn(&(f64, f64)) -> f64| points.iter().map(part).sum::<f64>() / count;
        let centre = (mean(|point| point.0), mean(|point| point.1));
        let sum =
            |part: &dyn Fn(f64, f64) -> f64| points.iter().map(|(x, y)| part(x - centre.0, y - centre.1)).sum::<f64>();
        let spread = sum(&|x, _| x * x);
        let slope = sum(&|x, y| x * y) / spread;
        let left_over = sum(&|x, y| (y - slope * x).powi(2));
        let slope_error = (left_over / (count - 2.0) / spread).sqrt();
        Line { centre, slope, slope_error }
    }
}

/// Student's t at 90 %, two-sided, by degrees of freedom. Beyond ten the value for ten stands: it is on the careful side.
pub(crate) fn student(freedom: usize) -> f64 {
    const T: [f64; 10] = [6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812];
    match freedom {
        0 => f64::INFINITY,
        few => T.get(few - 1).copied().unwrap_or(1.812),
    }
}
