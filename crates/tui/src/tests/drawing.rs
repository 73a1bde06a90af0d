use super::*;

#[test]
fn show() {
    let Ok(spec) = std::env::var("SHOW") else { return };
    let text = std::env::var("PLAN")
        .map_or_else(|_| fixture::HOUSE.to_owned(), |path| std::fs::read_to_string(path).unwrap());
    let size = std::env::var("SIZE").unwrap_or("80x24".into());
    let (w, h) = size.split_once('x').unwrap();
    let mut desk = Desk::opened(&text, (w.parse().unwrap(), h.parse().unwrap()), Origin::Demo);
    println!("{}", desk.screen());
    for part in spec.split(';') {
        desk.keys(part);
        println!("== {part}\n{}", desk.screen());
    }
}
