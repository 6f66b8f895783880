//! What each segment of a page truly is.

use super::compose::Role;
use super::eyes;
use std::collections::HashMap;
use vitta::text::segment::Segment;

/// The truth of one segment.
#[derive(Clone, Copy)]
pub struct Answer {
    pub role: Role,
    pub head: usize,
    pub level: u8,
    pub column: u8,
    pub leaf: u8,
}

/// The truth of each segment.
pub fn answers(found: &[Segment], read: &[eyes::Read]) -> Vec<Answer> {
    let mut heads: HashMap<usize, usize> = HashMap::new();
    let own: Vec<(Answer, Option<usize>)> =
        found.iter().enumerate().map(|(i, s)| own(i, s, read)).collect();
    let in_title = |a: &Answer| matches!(a.role, Role::Title | Role::Heading | Role::ReferenceText);
    for (i, (answer, entry)) in own.iter().enumerate() {
        let Some(entry) = entry.filter(|_| in_title(answer)) else { continue };
        let before = |other: usize| {
            let (a, b) = (&found[i], &found[other]);
            let same_line = (a.left.y - b.left.y).abs() < 0.6 * a.height;
            let same_column = answer.column == own[other].0.column;
            if same_column && !same_line { a.left.y < b.left.y } else { a.left.x < b.left.x }
        };
        if heads.get(&entry).is_none_or(|other| before(*other)) {
            heads.insert(entry, i);
        }
    }
    let with_head = |(i, (answer, entry)): (usize, &(Answer, Option<usize>))| Answer {
        head: entry.and_then(|e| heads.get(&e).copied()).unwrap_or(i),
        ..*answer
    };
    own.iter().enumerate().map(with_head).collect()
}

fn own(i: usize, segment: &Segment, read: &[eyes::Read]) -> (Answer, Option<usize>) {
    let truth = &read[segment.line].truth[segment.marks.0..segment.marks.1];
    let printed: Vec<_> = truth.iter().filter(|s| s.char.letter != ' ').collect();
    let mut counts: Vec<(Role, Option<usize>, usize)> = Vec::new();
    for s in &printed {
        match counts.iter_mut().find(|c| c.0 == s.char.role && c.1 == s.entry) {
            Some(count) => count.2 += 1,
            None => counts.push((s.char.role, s.entry, 1)),
        }
    }
    let best = counts.iter().max_by_key(|c| c.2).copied();
    let (role, entry, _) = best.unwrap_or((Role::Furniture, None, 0));
    let place = printed.iter().find(|s| s.entry == entry).copied();
    let (level, column, leaf) = place.map_or((1, 0, 0), |s| (s.level, s.column, s.leaf));
    let belongs = !matches!(
        role,
        Role::Furniture | Role::Marginal | Role::Prose | Role::Facing | Role::Leader
    );
    (Answer { role, head: i, level, column, leaf }, entry.filter(|_| belongs))
}
