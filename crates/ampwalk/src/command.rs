//! The commands, one file each.

mod assign;
mod check;
mod checked;
mod completions;
mod demo;
mod explain;
mod generator;
mod import;
mod layout;
mod library;
mod man;
mod new;
mod objective;
mod open;
mod papers;
mod recover;
mod schema;
mod strike;
mod trace;

use crate::arguments::{Arguments, Command, OfProgram};
use crate::output::Answer;
use crate::trouble::Trouble;
use recover::{Form, Write};

/// Does what the command line asks for.
pub fn run(arguments: Arguments) -> Result<Answer, Trouble> {
    match arguments.command {
        None => open::open(arguments.plan.as_deref()),
        Some(Command::Demo { name, copy }) => demo::demo(name.as_deref(), copy.as_deref()),
        Some(Command::New { file, region }) => new::new(&file, &region),
        Some(Command::Check { plan, setup, json: true }) => check::for_programs(&plan, setup.as_deref()),
        Some(Command::Check { plan, setup, json: false }) => check::for_people(&plan, setup.as_deref()),
        Some(Command::Assign { plan, fresh, untested, seconds, write, json }) => {
            let asked = assign::Asked { fresh, untested, seconds, write, json };
            assign::assign(&plan, asked)
        }
        Some(Command::Explain { plan, subject, setup, json: true }) => {
            explain::for_programs(&plan, &subject, setup.as_deref())
        }
        Some(Command::Explain { plan, subject, setup, json: false }) => {
            explain::for_people(&plan, &subject, setup.as_deref())
        }
        Some(Command::Generator { plan, seconds, json: true }) => {
            generator::generator(&plan, seconds, generator::Form::Json)
        }
        Some(Command::Generator { plan, seconds, json: false }) => {
            generator::generator(&plan, seconds, generator::Form::Words)
        }
        Some(Command::Papers { plan, to, only, format, paper, seconds, json }) => {
            papers::papers(papers::Asked::of((plan, to), &only, format, paper, (seconds, json)))
        }
        Some(Command::Recover { plan, lost, dark, setup, last, after, reset, write, json }) => {
            let asked = recover::Asked { plan, lost, dark, setup, last, after, reset };
            recover::recover(
                &asked,
                if write { Write::Plan } else { Write::Nothing },
                if json { Form::Json } else { Form::Words },
            )
        }
        Some(Command::Strike { plan, setup, json: true }) => {
            strike::strike(&plan, setup.as_deref(), strike::Form::Json)
        }
        Some(Command::Strike { plan, setup, json: false }) => {
            strike::strike(&plan, setup.as_deref(), strike::Form::Words)
        }
        Some(Command::Trace { plan, json: true }) => trace::trace(&plan, trace::Form::Json),
        Some(Command::Trace { plan, json: false }) => trace::trace(&plan, trace::Form::Words),
        Some(Command::Import { file, sheet: Some(kind), .. }) => import::sheet(&file, kind),
        Some(Command::Import { file, plan: Some(plan), what, write, json, sheet: None }) => {
            import::import(&file, &plan, what, import::Asked { write, json })
        }
        Some(Command::Import { plan: None, sheet: None, .. }) => {
            Err(Trouble::call("the plan is missing", "Name it behind the sheet."))
        }
        Some(Command::OfProgram(asked)) => of_program(&asked),
    }
}

/// What can be asked of the program without a plan.
fn of_program(asked: &OfProgram) -> Result<Answer, Trouble> {
    match *asked {
        OfProgram::Library { table, json: true } => library::for_programs(table),
        OfProgram::Library { table, json: false } => Ok(library::for_people(table)),
        OfProgram::Schema => schema::schema(),
        OfProgram::Completions { shell } => completions::completions(shell),
        OfProgram::Man => man::man(),
    }
}
