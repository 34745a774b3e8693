package journal

import (
	"os"
	"testing"

	"rakelight/journal/disk/scratch"
)

func TestMain(m *testing.M) { os.Exit(scratch.Run(m)) }
