// Package calc holds the models: pure functions of quantities.
//
// What a model owes its readers:
//
//   - Its doc comment gives meaning, unit, formula, source, range, and how good
//     it is. A constant says whether it is exact, measured (and how well), or
//     common practice without a source.
//   - It takes and gives typed quantities (package quantity); a plain float64
//     says its unit in its name and stays inside one function.
//   - Outside its range it returns an error and does not extrapolate. NaN and
//     infinities neither come in nor go out.
//   - It carries its basis.Basis along, so that an answer can say what it
//     rests on and where sources disagree.
//   - It knows no clock, no file, no network, and no words for users: models
//     return facts (tyre.Outside), commands write sentences.
package calc
