//! How full a row can be at most: rarely as full as its limit, where few heads fit.

use super::search::Terrain;

/// Rows that can be filled in more ways are left as they are, for the time it takes.
const MOST: usize = 1024;

/// For each row the largest sum of what items can load it with, one choice or none each, those that stay
/// among them, that is not over its limit. No placement loads a row with more.
pub(super) fn fullest(terrain: &Terrain<'_>) -> Vec<i64> {
    let problem = terrain.problem;
    let mut loads: Vec<Vec<(bool, Vec<i64>)>> = vec![Vec::new(); problem.rows.len()];
    let mut is_plain = vec![true; problem.rows.len()];
    for (item, node) in problem.items.iter().enumerate() {
        let mut own: Vec<(usize, i64)> = Vec::new();
        for choice in &terrain.allowed[item] {
            own.extend(node.choices[*choice].loads.iter().map(|load| (load.row, load.amount)));
        }
        own.sort_unstable();
        own.dedup();
        for of_row in own.chunk_by(|a, b| a.0 == b.0) {
            let row = of_row[0].0;
            is_plain[row] &= of_row.iter().all(|(_, amount)| *amount >= 0);
            // One that stays loads it for certain where it has but one choice.
            let stays = node.is_fixed && node.choices.len() == 1;
            loads[row].push((stays, of_row.iter().map(|(_, amount)| *amount).collect()));
        }
    }
    let of_row = |(row, loads): (usize, &Vec<(bool, Vec<i64>)>)| {
        let limit = problem.rows[row].limit;
        if is_plain[row] && limit > 0 { fullest_sum(limit, loads) } else { limit }
    };
    loads.iter().enumerate().map(of_row).collect()
}

/// The largest sum not over a limit; the limit itself where what stays is over it, or sums are too many.
fn fullest_sum(limit: i64, loads: &[(bool, Vec<i64>)]) -> i64 {
    let mut sums = vec![0_i64];
    for (stays, amounts) in loads {
        let more = amounts.iter().flat_map(|amount| sums.iter().map(move |sum| sum + amount));
        let mut next: Vec<i64> = more.filter(|sum| *sum <= limit).collect();
        if !stays {
            next.extend_from_slice(&sums);
        }
        next.sort_unstable();
        next.dedup();
        if next.is_empty() || next.len() > MOST {
            return limit;
        }
        sums = next;
    }
    sums.last().copied().unwrap_or(limit)
}

#[cfg(test)]
mod tests {
    use super::fullest_sum;

    #[test]
    fn the_fullest_sum_is_that_of_every_subset() {
        // By hand: 44 + 44 is over 80; of 10, 29 and 44, 29 + 44 = 73 is the most, and with 10 it is 83.
        let heads = |amounts: &[i64]| amounts.iter().map(|amount| (false, vec![*amount])).collect::<Vec<_>>();
        assert_eq!(fullest_sum(80, &heads(&[10, 29, 44, 44])), 73);
        assert_eq!(fullest_sum(83, &heads(&[10, 29, 44, 44])), 83);
        assert_eq!(fullest_sum(9, &heads(&[10, 29, 44, 44])), 0);
        // 126 + 126 = 252.
        assert_eq!(fullest_sum(320, &heads(&[126, 126, 126])), 252);
        // What stays is in every sum: 50, then 50 + 29.
        assert_eq!(fullest_sum(80, &[(true, vec![50]), (false, vec![29]), (false, vec![40])]), 79);
        // What stays is over it: nothing is known.
        assert_eq!(fullest_sum(80, &[(true, vec![90]), (false, vec![29])]), 80);
        // One head with two ways to load it.
        assert_eq!(fullest_sum(80, &[(false, vec![30, 60])]), 60);
    }
}
