//! What things are cut from.

use crate::{
    compile::Compiled,
    reports::{Column, Rows, Table, measures::Measures},
    units::show,
};

/// The stock that is written; none if there is none.
pub(in crate::reports) fn table(compiled: &Compiled) -> Option<Table<'_>> {
    if compiled.job.stocks.is_empty() {
        return None;
    }
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("stock", "Stock"),
        Column::text("of", "Of"),
        measures.lengths("length", "Length"),
        Column::text("price", "Price of one"),
        Column::count("on_hand", "On hand"),
    ];
    let rows = Rows::formula(move |lines| {
        for stock in &compiled.job.stocks {
            lines.item(|row| {
                row.text(&stock.name).text(compiled.job.name(stock.say.item.0));
                measures.length(row, stock.say.length.0);
                match stock.say.price {
                    Some(price) => row.text(show::money(price.0)),
                    None => row.empty(),
                };
                match stock.say.on_hand {
                    Some(count) => row.count(count.0),
                    None => row.empty(),
                };
            })?;
        }
        Ok(())
    });
    Some(Table::new("stock", columns, rows))
}
