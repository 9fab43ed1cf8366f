//! What things are cut from and sold in.

use crate::{
    compile::Compiled,
    reports::{Column, Rows, Table, measures::Measures, words},
    units::show,
};

/// The stock that is written; none if there is none.
pub(in crate::reports) fn table(compiled: &Compiled) -> Option<Table<'_>> {
    if compiled.job.stocks.is_empty() {
        return None;
    }
    let job = &compiled.job;
    let measures = Measures(job.system());
    let sellers = !job.suppliers.is_empty();
    let mut columns = vec![
        Column::text("stock", "Stock"),
        Column::text("of", "Of"),
        measures.lengths("length", "Length").written(),
        Column::text("pack", "A pack holds"),
        Column::text("price", "Price of one"),
        Column::count("on_hand", "On hand").written(),
    ];
    if sellers {
        columns.push(Column::text("from", "From"));
    }
    let rows = Rows::formula(move |lines| {
        for stock in &job.stocks {
            lines.item(|row| {
                row.text(&stock.name).text(job.name(stock.say.item.0));
                match stock.say.length {
                    Some(length) => measures.length(row, length.0),
                    None => _ = row.empty(),
                }
                match stock.say.unit {
                    Some(unit) => row.text(words::pack(unit.value, job.system())),
                    None => row.empty(),
                };
                match stock.say.price {
                    Some(price) => row.text(show::money(price.value.0)),
                    None => row.empty(),
                };
                match stock.say.on_hand {
                    Some(count) => row.count(count.0),
                    None => row.empty(),
                };
                if sellers {
                    row.text(stock.say.from.map_or("", |from| job.name(from.0)));
                }
            })?;
        }
        Ok(())
    });
    Some(Table::new("stock", columns, rows))
}
