// Tests of what is added to the words of a day.

package plan

import "testing"

func TestWithParagraph(t *testing.T) {
	for _, c := range []struct{ old, text, want string }{
		{"", "One.", "One.\n"},
		{"Old.", "One.", "Old.\n\nOne.\n"},
		{"Old.\n", "One.", "Old.\n\nOne.\n"},
		{"Old.\n\n", "One.", "Old.\n\nOne.\n"},
		{"# Title\r\n\r\nOld.\r\n", "One.\nTwo.", "# Title\r\n\r\nOld.\r\n\r\nOne.\r\nTwo.\r\n"},
		{"Old.\r\n\r\n", "One.", "Old.\r\n\r\nOne.\r\n"},
		{"\ufeffOld. ", "One. ", "\ufeffOld. \n\nOne.\n"},
		{"\ufeff", "One.", "\ufeffOne.\n"},
		{"Old.  \n\t\n", "One.\r\nTwo.", "Old.  \n\t\n\nOne.\nTwo.\n"},
	} {
		if got := string(withParagraph([]byte(c.old), c.text)); got != c.want {
			t.Errorf("%q and %q: %q, want %q", c.old, c.text, got, c.want)
		}
	}
}
