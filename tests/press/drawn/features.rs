//! The words for what is unusual on a drawn page.

use super::look::{DateForm, DatePlace, Leader, List, Look, Number, Running, Second};
use crate::photograph::Gathering;
use crate::shot::{Framing, Order};
use crate::truth::{Printed, Says};
use crate::words::Role;

fn of_look(look: &Look) -> Vec<&'static str> {
    let mut out = vec![
        match look.number {
            Number::Right => "number-right",
            Number::RightOfFirst => "number-first-line",
            Number::Left => "number-left",
            Number::Comma => "comma",
            Number::Dash => "dash",
            Number::Space => "space",
        },
        ["one-column", "two-columns", "three-columns"][look.columns - 1],
    ];
    if look.number == Number::Right {
        out.push(match look.leader {
            Leader::None => "leader-none",
            Leader::Rule => "leader-rule",
            Leader::Dots(gap) if gap > 0.25 => "leader-spaced",
            Leader::Dots(_) => "leader-tight",
        });
    }
    let dates = match look.date {
        DatePlace::None => None,
        DatePlace::Before => Some("date-before"),
        DatePlace::Column => Some("date-column"),
        DatePlace::After => Some("date-after"),
        DatePlace::Brackets => Some("date-brackets"),
    };
    let form = match look.form {
        DateForm::Short => Some("date-abbreviated"),
        DateForm::Numeric => Some("date-numeric"),
        DateForm::RomanMonth => Some("date-roman-month"),
        DateForm::Day | DateForm::Long => None,
    };
    out.extend(dates);
    out.extend(form.filter(|_| dates.is_some()));
    let second = |place: Second, beside, under| match place {
        Second::None => None,
        Second::Beside => Some(beside),
        Second::Under => Some(under),
    };
    if look.list == List::Months {
        out.extend(second(look.rank, "rank-beside", "rank-under"));
    }
    if look.list == List::Prefaces {
        out.extend(second(look.subtitle, "subtitle-beside", "subtitle-under"));
    }
    let flags = [
        (look.heads && look.list == List::Months, "months"),
        (look.heads && look.list == List::Alphabet, "letters"),
        (look.run_in.is_some(), "run-in"),
        (look.inverted && look.list == List::Alphabet, "inverted"),
        (look.marginal, "marginal"),
        (look.label.red, "red-numbers"),
        (look.head.red, "red-heads"),
        (look.initials, "red-initials"),
        (look.head.small_caps || look.entry.small_caps, "small-capitals"),
        (look.old_figures, "old-style-figures"),
        (look.column_rule, "column-rule"),
        (look.intro, "introduction"),
        (look.note, "footnote"),
        (look.running == Running::Nothing, "no-folio"),
    ];
    out.extend(flags.into_iter().filter_map(|(has, word)| has.then_some(word)));
    out
}

fn of_rows(printed: &[&Printed], out: &mut Vec<&'static str>) {
    let label = |p: &&Printed| match &p.says {
        Says::Row(row) => row.page.clone(),
        Says::Reference(_) => None,
    };
    let labels: Vec<String> = printed.iter().filter_map(label).collect();
    let roman = |marks: &str| labels.iter().any(|l| l.chars().all(|c| marks.contains(c)));
    let tops = |p: &Printed| {
        let tops = p.marks.iter().filter(|m| m.role == Role::Title).map(|m| m.rect[1]);
        tops.fold((f32::MAX, f32::MIN), |(a, b), t| (a.min(t), b.max(t)))
    };
    let wrapped = printed.iter().map(|p| tops(p)).any(|(first, last)| last > first + 2.5);
    let flags = [
        (roman("ivxlcdm"), "roman"),
        (roman("IVXLCDM"), "roman-upper"),
        (labels.iter().any(|l| l.contains([',', '-', 'f'])), "several-pages"),
        (wrapped, "wrapped"),
    ];
    out.extend(flags.into_iter().filter_map(|(has, word)| has.then_some(word)));
}

/// What is unusual about a photograph of leaf `leaf`.
pub fn of(look: &Look, book: &Gathering, leaf: usize, order: &Order) -> Vec<&'static str> {
    let mut out = match look.list {
        List::Prose => {
            vec!["prose", ["one-column", "two-columns", "three-columns"][look.columns - 1]]
        }
        List::Day => {
            vec!["crossrefs", ["one-column", "two-columns", "three-columns"][look.columns - 1]]
        }
        _ => of_look(look),
    };
    let shown = book.shown(leaf, order.framing);
    let printed: Vec<&Printed> =
        shown.iter().flat_map(|i| book.printed.get(*i).into_iter().flatten()).collect();
    of_rows(&printed, &mut out);
    let over = &order.over;
    let flags = [
        (over.strip.is_some(), "facing-strip"),
        (over.thumb.is_some(), "thumb-over"),
        (over.ribbon.is_some(), "ribbon-over"),
        (over.crop.is_some(), "cropped"),
        (order.framing == Framing::Both, "opening"),
    ];
    out.extend(flags.into_iter().filter_map(|(has, word)| has.then_some(word)));
    out
}
