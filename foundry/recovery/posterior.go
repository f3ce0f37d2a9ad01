package recovery

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// posterior is what is known of the sources at one κ and one φ, in standard
// measure.
type posterior struct {
	logML float64   // log marginal likelihood
	mean  []float64 // of ρ
	cov   []float64 // p×p, both triangles; nil until asked for

	chol blas64.Symmetric
}

// prior is S⁻¹ at one κ, with S = κ² diag(loose) + s0² 11' over the sources
// that share μ: a diagonal less pull·tt' (Sherman and Morrison 1950).
type prior struct {
	diagonal []float64
	tie      []float64 // t_j: precision of a source that shares μ, else 0
	pull     float64
	logDet   float64 // ln det S
}

func (p *problem) prior(kappa float64) prior {
	k2, s2, sum := kappa*kappa, p.usual.shift*p.usual.shift, 0.0
	pr := prior{diagonal: make([]float64, p.p), tie: make([]float64, p.p)}
	for j, v := range p.fixed {
		if v == 0 {
			v = k2 * p.loose[j]
			pr.tie[j] = 1 / v
			sum += 1 / v
		}
		pr.diagonal[j] = 1 / v
		pr.logDet += math.Log(v)
	}
	pr.pull = 1 / (1/s2 + sum)
	pr.logDet += math.Log(1 + s2*sum)
	return pr
}

// solve gives the posterior at κ: Q = X'V⁻¹X + S⁻¹, mean Q⁻¹X'V⁻¹y, one
// Cholesky factor of a p×p matrix. ok is false when Q is not positive definite
// in floating point.
func (p *problem) solve(s *sums, kappa float64) (post *posterior, ok bool) {
	return p.solveIn(make([]float64, p.p*p.p), s, kappa)
}

// solveIn solves in memory that it is lent, p×p.
func (p *problem) solveIn(memory []float64, s *sums, kappa float64) (post *posterior, ok bool) {
	n := p.p
	pr := p.prior(kappa)
	q := blas64.Symmetric{N: n, Stride: n, Data: memory, Uplo: blas.Lower}
	copy(q.Data, s.a)
	for j := range n {
		q.Data[j*n+j] += pr.diagonal[j]
		for l := 0; l <= j; l++ {
			q.Data[j*n+l] -= pr.pull * pr.tie[j] * pr.tie[l]
		}
	}
	chol, ok := lapack64.Potrf(q)
	if !ok {
		return nil, false
	}
	logDetQ := 0.0
	for j := range n {
		logDetQ += 2 * math.Log(chol.Data[j*n+j])
	}
	mean := append([]float64(nil), s.b...)
	lapack64.Potrs(chol, blas64.General{Rows: n, Cols: 1, Stride: 1, Data: mean})
	fit := 0.0
	for j := range n {
		fit += s.b[j] * mean[j]
	}
	return &posterior{
		logML: -(float64(p.melts())*math.Log(2*math.Pi) + s.logVar + pr.logDet + logDetQ + s.yy - fit) / 2,
		mean:  mean,
		chol:  q,
	}, true
}

// invert fills in the covariance Q⁻¹ from the Cholesky factor, which it uses up.
func (p *problem) invert(post *posterior) {
	n := p.p
	lapack64.Potri(blas64.Triangular{N: n, Stride: n, Data: post.chol.Data, Uplo: blas.Lower, Diag: blas.NonUnit})
	post.cov = post.chol.Data
	for j := range n {
		for l := range j {
			post.cov[l*n+j] = post.cov[j*n+l]
		}
	}
}

// logPrior is the log density of (ln κ, ln φ), log-normal both; where no
// spread of κ is given, κ is half-normal.
func (u usual) logPrior(kappa, phi float64) float64 {
	d := math.Log(phi/u.scatter) / u.scatterLog
	if u.spreadLog == 0 {
		return -sq(kappa/u.spread)/2 + math.Log(kappa) - d*d/2
	}
	return -sq(math.Log(kappa/u.spread)/u.spreadLog)/2 - d*d/2
}
