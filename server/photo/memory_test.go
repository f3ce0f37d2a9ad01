package photo

import (
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mostMemory is what the whole program may take while it opens photos, in MiB.
const mostMemory = 300

// measured is where this test, run once more as a program of its own, finds
// the photo to open.
const measured = "DROSSWISE_PHOTO"

// TestMemory opens the largest photos there are, in a program of its own whose
// highest memory the kernel tells, two at a time as from two phones.
func TestMemory(t *testing.T) {
	if _, err := os.Stat("/proc/self/status"); err != nil {
		t.Skip("the kernel does not tell how much memory a program took")
	}
	if path := os.Getenv(measured); path != "" {
		openTwo(t, path)
		return
	}
	if testing.Short() {
		t.Skip("opens photos of 48 million pixels")
	}
	for name, file := range map[string][]byte{
		"a JPEG of 48 megapixels": asJPEG(t, textured(8000, 6000)),
		"the worst PNG":           asPNG(t, image.NewNRGBA(image.Rect(0, 0, 6890, 6890))),
	} {
		path := filepath.Join(t.TempDir(), "photo")
		require.NoError(t, os.WriteFile(path, file, 0o600))
		c := exec.Command(os.Args[0], "-test.run=^TestMemory$", "-test.v")
		c.Env = append(os.Environ(), measured+"="+path)
		began := time.Now()
		out, err := c.CombinedOutput()
		require.NoError(t, err, "%s", out)
		found := regexp.MustCompile(`(\d+) MiB at most`).FindSubmatch(out)
		require.NotNil(t, found, "%s", out)
		most, err := strconv.Atoi(string(found[1]))
		require.NoError(t, err)
		t.Logf("%s (%.1f MB), two at once: %d MiB, %s", name, float64(len(file))/1e6, most, time.Since(began).Round(time.Millisecond))
		assert.Less(t, most, mostMemory, name)
	}
}

func openTwo(t *testing.T, path string) {
	file, err := os.ReadFile(path)
	require.NoError(t, err)
	var all sync.WaitGroup
	for range 2 {
		all.Go(func() {
			p, err := Read(t.Context(), file)
			assert.NoError(t, err)
			assert.Equal(t, Long, max(p.Width, p.Height))
		})
	}
	all.Wait()
	status, err := os.ReadFile("/proc/self/status")
	require.NoError(t, err)
	peak := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status)
	require.NotNil(t, peak)
	kilobytes, err := strconv.Atoi(string(peak[1]))
	require.NoError(t, err)
	fmt.Printf("%d MiB at most\n", kilobytes/1024)
}
