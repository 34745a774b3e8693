// This file is the look that the page and the packs share.

package judge

import (
	_ "embed"
	"fmt"
	"strings"
)

//go:embed look.css
var look string

// fonts are the files of the two faces, from the site's.
var fonts = []string{"sans-regular.woff2", "serif-regular.woff2"}

// styleWith returns the style, its fonts at the addresses that at tells.
func styleWith(at func(name string) string) string {
	var faces strings.Builder
	for i, family := range []string{"Page Sans", "Page Serif"} {
		fmt.Fprintf(&faces,
			"@font-face { font-family: %q; src: url(%q) format(\"woff2\"); font-weight: 400; font-display: swap; }\n",
			family, at(fonts[i]))
	}
	return strings.Replace(look, "FONTS\n", faces.String(), 1)
}
