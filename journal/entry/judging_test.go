// Tests of who is who among the judges.

package entry

import (
	"strings"
	"testing"
)

func TestName(t *testing.T) {
	for in, want := range map[string]string{" Mo \n B ": "Mo B", "a\u202eb\x00c": "abc", strings.Repeat("é", 50): strings.Repeat("é", 40), "\u200b": "", "\u3000ミナ": "ミナ"} {
		if got := Name(in); got != want || Name(got) != got {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
	if !IsOwner("Me") || !IsOwner("YOU") || IsOwner("Mo") {
		t.Error("owner's names")
	}
}
