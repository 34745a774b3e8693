// Package prompt is text on a terminal, whoever wrote it: Shown writes it so that
// it stays one line and hides nothing, Quoted and Typed so that it can be pasted
// at a prompt and does what it says and nothing else. It knows nothing of
// journals.
package prompt
