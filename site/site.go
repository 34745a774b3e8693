// Package site holds what the reader sees, as files: templates and styles. It
// has no logic; render fills the templates.
package site

import "embed"

// Files are the templates and styles.
//
//go:embed all:shared
var Files embed.FS
