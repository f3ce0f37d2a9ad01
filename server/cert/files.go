package cert

import (
	"crypto/tls"
	"fmt"
	"log/slog"
	"os"
	"sync"
	"time"
)

// Files are a certificate and its key, made elsewhere. They are read again
// when one of them has changed, so that whatever renews them need not tell.
type Files struct {
	cert, key string
	log       *slog.Logger

	mu   sync.Mutex
	seen [2]stamp
	now  *tls.Certificate
}

// stamp is by what a change of a file is noticed.
type stamp struct {
	at   time.Time
	size int64
}

// Open reads the two files for the first time.
func Open(cert, key string, log *slog.Logger) (*Files, error) {
	f := &Files{cert: cert, key: key, log: log}
	if err := f.look(); err != nil {
		return nil, err
	}
	return f, nil
}

// look reads the files if they have changed since they were last read.
func (f *Files) look() error {
	var now [2]stamp
	for i, path := range []string{f.cert, f.key} {
		info, err := os.Stat(path)
		if err != nil {
			return err
		}
		now[i] = stamp{info.ModTime(), info.Size()}
	}
	if now == f.seen {
		return nil
	}
	f.seen = now
	both, err := tls.LoadX509KeyPair(f.cert, f.key)
	if err != nil {
		return fmt.Errorf("%s and %s are no certificate with its key: %w", f.cert, f.key, err)
	}
	f.now = &both
	return nil
}

// Certificate is for tls.Config.GetCertificate. Files that cannot be read, as
// when only one of them has been replaced so far, leave the last in use.
func (f *Files) Certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.look(); err != nil {
		f.log.Warn("certificate not read again", "err", err)
	}
	return f.now, nil
}
