//! What is seen or done at the stove while jars are in a canner.

use crate::values::names::named::named_enum;

named_enum! {
    /// A step of a run.
    pub enum RunStep as "a step of a run" {
        /// The heat is on.
        Heat = "heat" | "heat on",
        /// Steam flows steadily from the vent.
        Steam = "steam" | "steam flows",
        /// The vent is closed.
        Closed = "closed" | "vent closed" | "weight on",
        /// Pressure, or a full boil, is reached.
        Reached = "reached" | "pressure reached" | "boil reached",
        /// Pressure, or the boil, is lost.
        Lost = "lost" | "pressure lost" | "boil lost",
        /// The heat is off.
        Off = "off" | "heat off",
        /// No pressure is left.
        Depressurized = "depressurized" | "pressure gone" | "no pressure",
        /// The lid is off.
        Lid = "lid" | "lid off",
        /// The jars are out.
        Out = "out" | "jars out",
        /// The run was given up.
        Abandon = "abandon" | "give up",
    }
}
