//! Whether a Mass that is not the day's may be said on it, in words.
//!
//! The calendar knows which kinds a day permits (GIRM 355, 371–381); here the answer is given for the
//! Mass asked for, with what it depends on.

use super::mass::MassKind;
use super::notes::Rule;
use crate::calendar::{Celebration, Day};
use crate::place::Place;

/// The answer, with its reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Permission {
    Free(Rule),
    Conditional(Rule),
    Barred(Rule),
}

/// Whether the Mass `asked`, of `kind`, may be said on `day`, on which `kept` is kept by default.
pub(super) fn permission(
    day: &Day,
    kept: &Celebration,
    kind: MassKind,
    asked: &Place,
) -> Permission {
    match kind {
        MassKind::OfTheDay | MassKind::Commemoration => {
            Permission::Free(("the Mass of the day", "la misa del día"))
        }
        MassKind::Ritual => ritual(day, kept),
        MassKind::Needs | MassKind::Votive => needs_or_votive(day),
        MassKind::Funeral => funeral(day, kept),
        MassKind::Dead => dead(day),
        MassKind::OwnChoice => own_choice(day, asked),
    }
}

fn ritual(day: &Day, kept: &Celebration) -> Permission {
    match (day.permitted.ritual, kept.line) {
        (true, 6) => Permission::Conditional((
            "where the parish community takes part the Mass of the Sunday is kept (Order of \
             Celebrating Matrimony 34; GIRM 372)",
            "donde participa la comunidad parroquial se conserva la misa del domingo (Ritual \
             del Matrimonio 34; OGMR 372)",
        )),
        (true, _) => Permission::Free((
            "a ritual Mass is permitted on this day (GIRM 372)",
            "este día se permite una misa ritual (OGMR 372)",
        )),
        (false, _) => Permission::Barred((
            "ritual Masses are not said on Sundays of Advent, Lent and Easter, on solemnities, \
             in the Octave of Easter, on All Souls, Ash Wednesday and in Holy Week; the Mass \
             of the day is said (GIRM 372)",
            "no se dicen misas rituales los domingos de Adviento, Cuaresma y Pascua, en las \
             solemnidades, en la Octava de Pascua, en la Conmemoración de los difuntos, el \
             Miércoles de Ceniza y en la Semana Santa; se dice la misa del día (OGMR 372)",
        )),
    }
}

fn needs_or_votive(day: &Day) -> Permission {
    let permitted = &day.permitted;
    if permitted.free_choice {
        return Permission::Free((
            "free on this day (GIRM 355c, 375)",
            "libre este día (OGMR 355c, 375)",
        ));
    }
    if permitted.for_pastoral_advantage {
        return Permission::Conditional((
            "for a real need or pastoral benefit, in the judgement of the rector of the church \
             or the priest himself, in a Mass with the people (GIRM 376)",
            "por verdadera necesidad o utilidad pastoral, a juicio del rector de la iglesia o \
             del mismo sacerdote, en la misa con el pueblo (OGMR 376)",
        ));
    }
    if permitted.by_leave_of_the_bishop {
        return Permission::Conditional((
            "in a serious need, by order or with leave of the diocesan Bishop (GIRM 374)",
            "por una necesidad grave, por mandato o con licencia del obispo diocesano (OGMR 374)",
        ));
    }
    Permission::Barred((
        "Masses for various needs and votive Masses are not said on solemnities, on Sundays of \
         Advent, Lent and Easter, in the Octave of Easter, on All Souls, Ash Wednesday and in \
         Holy Week (GIRM 374)",
        "no se dicen misas por diversas necesidades ni votivas en las solemnidades, los \
         domingos de Adviento, Cuaresma y Pascua, en la Octava de Pascua, en la Conmemoración \
         de los difuntos, el Miércoles de Ceniza y en la Semana Santa (OGMR 374)",
    ))
}

fn funeral(day: &Day, kept: &Celebration) -> Permission {
    match (day.permitted.funeral, kept.line) {
        (true, 3 | 4) => Permission::Conditional((
            "where this solemnity is not a holyday of obligation (GIRM 380)",
            "donde esta solemnidad no es de precepto (OGMR 380)",
        )),
        (true, _) => Permission::Free((
            "the Funeral Mass is permitted on this day (GIRM 380)",
            "este día se permite la misa exequial (OGMR 380)",
        )),
        (false, _) => Permission::Barred((
            "the Funeral Mass is not said on solemnities of obligation, Holy Thursday, in the \
             Triduum and on Sundays of Advent, Lent and Easter (GIRM 380)",
            "no se dice la misa exequial en las solemnidades de precepto, el Jueves Santo, en \
             el Triduo y los domingos de Adviento, Cuaresma y Pascua (OGMR 380)",
        )),
    }
}

fn dead(day: &Day) -> Permission {
    if day.permitted.other_for_the_dead {
        return Permission::Free((
            "permitted when it is really applied for the dead (GIRM 381)",
            "permitida si se aplica realmente por los difuntos (OGMR 381)",
        ));
    }
    if day.permitted.news_burial_anniversary {
        return Permission::Conditional((
            "on receiving news of a death, at the final burial, or on the first anniversary \
             (GIRM 381)",
            "al recibir la noticia de una muerte, en la sepultura definitiva o en el primer \
             aniversario (OGMR 381)",
        ));
    }
    Permission::Barred((
        "Masses for the Dead other than the Funeral Mass are not said on this day (GIRM 381)",
        "este día no se dicen misas de difuntos distintas de la exequial (OGMR 381)",
    ))
}

/// A saint of the Martyrology for the day (355b, c), or on free days a votive Mass of any saint (375). The
/// Martyrology itself is not here: the day of the General Calendar, which is in a saint's address, stands in
/// for it.
fn own_choice(day: &Day, asked: &Place) -> Permission {
    let permitted = &day.permitted;
    let today = day.date.format("saints/%m-%d").to_string();
    match (permitted.saint_of_the_martyrology, permitted.free_choice) {
        (true, _) if asked.is_under(&today) => Permission::Free((
            "a saint of this day, whom the Martyrology has as well as the General Calendar (GIRM 355b, GIRM 355c)",
            "un santo de este día, que el Martirologio trae como el Calendario General (OGMR 355b, 355c)",
        )),
        (true, _) if asked.is_under("common") => Permission::Conditional((
            "for a saint whom the Martyrology has on this day; which saints it has is not known here: look \
             in the Martyrology (GIRM 355b, GIRM 355c)",
            "para un santo que el Martirologio trae este día; aquí no consta cuáles trae: mire el \
             Martirologio (OGMR 355b, 355c)",
        )),
        (_, true) if asked.is_under("saints") => Permission::Free((
            "a votive Mass of a saint, free on this day; the Martyrology has him on another, as far as is \
             known here (GIRM 375)",
            "una misa votiva de un santo, libre este día; el Martirologio lo trae en otro, que aquí conste \
             (OGMR 375)",
        )),
        (true, _) => Permission::Barred((
            "a saint may be chosen from the Martyrology only on the day on which he stands there, and this \
             one stands on another, as far as is known here (GIRM 355)",
            "un santo se puede elegir del Martirologio solo el día en que está inscrito, y este lo está en \
             otro, que aquí conste (OGMR 355)",
        )),
        _ => Permission::Barred((
            "the Mass of the day is said (GIRM 353–355)",
            "se dice la misa del día (OGMR 353–355)",
        )),
    }
}
