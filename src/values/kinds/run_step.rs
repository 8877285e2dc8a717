//! What is seen or done at the stove while jars are in a canner.

use crate::values::names::named::named_enum;

named_enum! {
    /// A step of a run.
    pub enum RunStep as "a step of a run" {
        /// The heat is on.
        Heat = "heat",
        /// Steam flows steadily from the vent.
        Steam = "steam",
        /// The vent is closed.
        Closed = "closed",
        /// Pressure, or a full boil, is reached.
        Reached = "reached",
        /// Pressure, or the boil, is lost.
        Lost = "lost",
        /// The heat is off.
        Off = "off",
        /// No pressure is left.
        Depressurized = "depressurized",
        /// The lid is off.
        Lid = "lid",
        /// The jars are out.
        Out = "out",
        /// The run was given up.
        Abandon = "abandon",
    }
}
