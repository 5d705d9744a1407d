package front

import (
	"crypto/tls"
	"log/slog"
	"os"
	"sync"
	"time"
)

// Certificate is a certificate in files, which may be replaced while the server
// runs.
type Certificate struct {
	cert, key string
	log       *slog.Logger

	mu     sync.Mutex
	now    *tls.Certificate
	of     [2]time.Time // when the files were written
	looked time.Time
}

// lookEvery is how often the files are looked at.
const lookEvery = time.Minute

// OpenCertificate reads the files for the first time.
func OpenCertificate(cert, key string, log *slog.Logger) (*Certificate, error) {
	c := &Certificate{cert: cert, key: key, log: log}
	err := c.Reload()
	return c, err
}

// Reload reads the files. If they are no certificate, the former goes on.
func (c *Certificate) Reload() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.reload()
}

func (c *Certificate) reload() error {
	c.of, c.looked = c.written(), time.Now()
	pair, err := tls.LoadX509KeyPair(c.cert, c.key)
	if err == nil {
		c.now = &pair
	}
	return err
}

func (c *Certificate) written() (out [2]time.Time) {
	for i, name := range []string{c.cert, c.key} {
		if info, err := os.Stat(name); err == nil {
			out[i] = info.ModTime()
		}
	}
	return out
}

// TLS is how the server speaks: TLS 1.2 at least, with the certificate as it is
// now.
func (c *Certificate) TLS() *tls.Config {
	return &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"},
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return c.current(time.Now()), nil }}
}

// current is the certificate; files that were written since are read first.
func (c *Certificate) current(now time.Time) *tls.Certificate {
	c.mu.Lock()
	defer c.mu.Unlock()
	if now.Sub(c.looked) >= lookEvery {
		if c.looked = now; c.written() != c.of {
			if err := c.reload(); err != nil {
				c.log.Error("certificate", "error", err)
			} else {
				c.log.Info("certificate read again")
			}
		}
	}
	return c.now
}
