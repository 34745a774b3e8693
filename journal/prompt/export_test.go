// What tests outside of the package ask of its inside.

package prompt

var (
	QuotedOn = quotedOn
	Hides    = hides
)
