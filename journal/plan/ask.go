// This file is the refusal that asks.

package plan

// AskError is a refusal that ends in a question: the person knows the answer,
// we do not, and a guess would falsify the record.
type AskError struct {
	What string // what is unclear
	Hint string // how to say it
}

func (e *AskError) Error() string { return e.What }
