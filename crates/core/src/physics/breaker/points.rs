//! The points that the standards publish, as (times the rating, seconds).

use crate::physics::breaker::magnetic_band;
use crate::plan::Curve;
use crate::unit::Amps;

const HOUR: f64 = 3600.0;

/// The two bounds of a device: each a row of points, rising in amps and never rising in time.
pub struct Points {
    /// It never opens before these.
    pub earliest: Vec<(f64, f64)>,
    /// It always opens by these.
    pub latest: Vec<(f64, f64)>,
    /// From so many times the rating on it may open at once.
    pub at_once_from: Option<f64>,
}

/// The published points of a breaker or board fuse of `rated` amps.
#[must_use]
pub fn points(curve: Curve, rated: Amps) -> Points {
    match curve {
        Curve::B => miniature(curve, rated, 45.0, 90.0),
        Curve::C => miniature(curve, rated, 15.0, 30.0),
        Curve::D => miniature(curve, rated, 4.0, 8.0),
        Curve::Ul => moulded(rated),
        Curve::Gg => board_fuse(rated),
        Curve::Rewirable => Points { earliest: Vec::new(), latest: Vec::new(), at_once_from: None },
    }
}

/// IEC 60898-1 table 7: 1.13, 1.45 and 2.55 times the rating, and the magnetic band. The longest time
/// at the lower magnetic bound, up to 32 A and above, is from memory (edition of 2015), and so are the
/// two hours above 63 A.
fn miniature(curve: Curve, rated: Amps, longest_small: f64, longest_large: f64) -> Points {
    let (lower, upper) = magnetic_band(curve).unwrap_or((1.0, 1.0));
    let conventional = if rated.is_over(Amps(63.0)) { 2.0 * HOUR } else { HOUR };
    let large = rated.is_over(Amps(32.0));
    let (at_255, at_lower) = if large { (120.0, longest_large) } else { (60.0, longest_small) };
    Points {
        earliest: vec![(1.13, conventional), (2.55, 1.0), (lower, 0.1)],
        latest: vec![(1.45, conventional), (2.55, at_255), (lower, at_lower), (upper, 0.1)],
        at_once_from: Some(lower),
    }
}

/// UL 489: 135 and 200 percent. The times above 30 A at 200 percent are from memory.
fn moulded(rated: Amps) -> Points {
    const AT_200_PERCENT: [(f64, f64); 7] = [
        (30.0, 120.0),
        (50.0, 240.0),
        (100.0, 360.0),
        (150.0, 480.0),
        (225.0, 600.0),
        (400.0, 720.0),
        (600.0, 840.0),
    ];
    let conventional = if rated.is_over(Amps(50.0)) { 2.0 * HOUR } else { HOUR };
    let mut latest = vec![(1.35, conventional)];
    if let Some((_, seconds)) = AT_200_PERCENT.iter().find(|(to, _)| !rated.is_over(Amps(*to))) {
        latest.push((2.0, *seconds));
    }
    Points { earliest: Vec::new(), latest, at_once_from: None }
}

/// IEC 60269-1 and -2, class gG: conventional non-fusing and fusing current and time, from memory.
fn board_fuse(rated: Amps) -> Points {
    let (non_fusing, fusing) = if rated.reaches(Amps(16.0)) {
        (1.25, 1.6)
    } else if rated.is_over(Amps(4.0)) {
        (1.5, 1.9)
    } else {
        (1.5, 2.1)
    };
    let conventional = if rated.is_over(Amps(400.0)) {
        4.0 * HOUR
    } else if rated.is_over(Amps(160.0)) {
        3.0 * HOUR
    } else if rated.is_over(Amps(63.0)) {
        2.0 * HOUR
    } else {
        HOUR
    };
    Points {
        earliest: vec![(non_fusing, conventional)],
        latest: vec![(fusing, conventional)],
        at_once_from: None,
    }
}

/// BS 1362: at least half an hour at 1.6 times the rating, less at 1.9, as a public page prints it;
/// the gates of 3 A and 13 A at higher amps as a second public page prints them.
pub(super) fn plug_fuse_points(rated: Amps) -> Points {
    const THREE: [(f64, Option<f64>, f64); 3] =
        [(9.0, Some(0.02), 80.0), (20.0, None, 0.1), (30.0, None, 0.03)];
    const THIRTEEN: [(f64, Option<f64>, f64); 3] =
        [(30.0, Some(1.0), 400.0), (50.0, Some(0.1), 20.0), (100.0, Some(0.01), 0.2)];
    let gates: &[_] = match rated {
        Amps(3.0) => &THREE,
        Amps(13.0) => &THIRTEEN,
        _ => &[],
    };
    let mut points =
        Points { earliest: vec![(1.6, HOUR / 2.0)], latest: vec![(1.9, HOUR / 2.0)], at_once_from: None };
    for (amps, earliest, latest) in gates {
        let times = amps / rated.0;
        points.earliest.extend(earliest.map(|seconds| (times, seconds)));
        points.latest.push((times, *latest));
    }
    points
}
