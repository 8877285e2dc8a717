//! Label pages checked from outside: turned into pictures by poppler, read back by zbar.

mod codes;
mod model;
mod picture;
mod tools;
