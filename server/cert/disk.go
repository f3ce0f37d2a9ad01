package cert

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"os"
)

// read reads a certificate and its key from the one file that holds both, so
// that one is never there without the other. A file that is not there is
// fs.ErrNotExist.
func read(path string) (pair, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return pair{}, err
	}
	both, err := tls.X509KeyPair(text, text)
	if err != nil {
		return pair{}, fmt.Errorf("%s holds no certificate with its key: %w", path, err)
	}
	key, ok := both.PrivateKey.(*ecdsa.PrivateKey)
	if !ok {
		return pair{}, fmt.Errorf("%s holds a key of another kind than is made here", path)
	}
	return pair{both.Leaf, key}, nil
}

// write puts the file in place whole; only its owner can read it.
func (p pair) write(path string) (err error) {
	key, err := x509.MarshalPKCS8PrivateKey(p.key)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	err = errors.Join(
		pem.Encode(&text, &pem.Block{Type: "CERTIFICATE", Bytes: p.cert.Raw}),
		pem.Encode(&text, &pem.Block{Type: "PRIVATE KEY", Bytes: key}))
	if err != nil {
		return err
	}
	part := path + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(text.Bytes())
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	return os.Rename(part, path)
}
