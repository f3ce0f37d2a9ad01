package static

import (
	"encoding/json"
	"image/png"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The worker knows every file of its version but itself.
func TestWorker(t *testing.T) {
	w := httptest.NewRecorder()
	Worker(w, httptest.NewRequest(http.MethodGet, "/sw.js", nil))
	assert.Equal(t, "no-cache", w.Header().Get("Cache-Control"))
	assert.Equal(t, "text/javascript; charset=utf-8", w.Header().Get("Content-Type"))
	first, _, _ := strings.Cut(w.Body.String(), "\n")
	list := strings.TrimSuffix(strings.TrimPrefix(first, "const FILES = "), ";")
	var files []string
	require.NoError(t, json.Unmarshal([]byte(list), &files))
	assert.Len(t, files, len(assets)-1)
	for _, f := range files {
		assert.Equal(t, http.StatusOK, get(http.MethodGet, f).StatusCode, f)
	}
}

// The icons that the manifest names are there, as large as it says.
func TestManifest(t *testing.T) {
	w := httptest.NewRecorder()
	Manifest(w, httptest.NewRequest(http.MethodGet, "/manifest.webmanifest", nil))
	assert.Equal(t, "application/manifest+json", w.Header().Get("Content-Type"))
	var m struct {
		Name, Display string
		StartURL      string `json:"start_url"`
		Icons         []struct{ Src, Type, Sizes, Purpose string }
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &m))
	assert.Equal(t, []string{"Drosswise", "standalone", "/"}, []string{m.Name, m.Display, m.StartURL})
	require.Len(t, m.Icons, 4)
	for _, icon := range m.Icons {
		res := get(http.MethodGet, icon.Src)
		require.Equal(t, http.StatusOK, res.StatusCode, icon.Src)
		assert.Equal(t, icon.Type, res.Header.Get("Content-Type"))
		if icon.Type != "image/png" {
			continue
		}
		size, err := png.DecodeConfig(res.Body)
		require.NoError(t, err)
		assert.Equal(t, icon.Sizes, strconv.Itoa(size.Width)+"x"+strconv.Itoa(size.Height))
	}
}
