// Package price reckons what an order costs, what it must pay the people who make
// it, and what it can be sold for; all of it in exact money.
//
// An Order is what a piece of work takes: materials at what their lots cost,
// work step by step, fuel, transport, fees, and overhead by a stated key. Cost
// makes a Costing of it, a line for each. Earnings holds the pay of every step
// against two floors of an hour's pay, the workshop's own and the law's. Make
// puts a price on it through a sales channel, with tax, customary rounding and a
// deposit, and says where the money goes; Quote.At and Quote.Discounted ask what
// another price would leave, and Compare holds a quote against what the order
// really took.
//
// Margin and markup are two words: markup is what is gained over cost, margin is
// what is gained of the price. 25 % of markup is 20 % of margin.
//
// # Money
//
// Money is whole minor units of an ISO 4217 currency; nothing here is a floating
// point number. Between two roundings amounts are fractions of any size, so
// that each result is rounded once:
//
//   - up: costs, pay, and prices found from them, so that a price covers them;
//   - down: what is left over, and what is earned an hour;
//   - half up: fees and taxes, as those do who take them;
//   - by largest remainder: parts of a whole, which then add up to it.
//
// What is in another currency is changed at the rate that is kept with the order.
//
// The package is pure and holds no sentences. What is wrong is a code of package
// check; fair pay, tax and labour law are the workshop's and its country's to
// decide, and defaults here set none of them.
package price
