package network

// lu is a dense complex matrix that is factored in place with scaled partial
// pivoting.
type lu struct {
	n     int
	a     []complex128 // row-major
	perm  []int
	scale []float64
	work  []complex128
}

func newLU(n int) lu {
	return lu{n, make([]complex128, n*n), make([]int, n), make([]float64, n), make([]complex128, n)}
}

func (m *lu) clear() { clear(m.a) }

// add adds z to the entry at row i and column j; either may be -1, the
// reference, which has no equation.
func (m *lu) add(i, j int, z complex128) {
	if i >= 0 && j >= 0 {
		m.a[i*m.n+j] += z
	}
}

func (m *lu) row(i int) []complex128 { return m.a[i*m.n : (i+1)*m.n] }

// factor factors the matrix. It returns the column at which it found no
// usable pivot, or -1.
func (m *lu) factor() (bad int) {
	for i := range m.n {
		m.perm[i] = i
		m.scale[i] = 0
		for _, z := range m.row(i) {
			m.scale[i] = max(m.scale[i], abs1(z))
		}
		if m.scale[i] == 0 {
			return i
		}
	}
	for k := range m.n {
		p := m.pivot(k)
		if p < 0 {
			return k
		}
		m.swap(k, p)
		m.update(k)
	}
	return -1
}

// pivot returns the row whose entry in column k is largest against its scale,
// or -1 if none stands out of the rounding error.
func (m *lu) pivot(k int) int {
	best, p := epsilon/16, -1
	for i := k; i < m.n; i++ {
		if v := abs1(m.a[i*m.n+k]) / m.scale[i]; v > best {
			best, p = v, i
		}
	}
	return p
}

func (m *lu) swap(i, j int) {
	if i == j {
		return
	}
	a, b := m.row(i), m.row(j)
	for k := range a {
		a[k], b[k] = b[k], a[k]
	}
	m.perm[i], m.perm[j] = m.perm[j], m.perm[i]
	m.scale[i], m.scale[j] = m.scale[j], m.scale[i]
}

func (m *lu) update(k int) {
	top := m.row(k)
	inv := reciprocal(top[k])
	top[k] = inv // the pivot's reciprocal is what solve needs
	for i := k + 1; i < m.n; i++ {
		row := m.row(i)
		if row[k] == 0 {
			continue
		}
		f := row[k] * inv
		row[k] = f
		rest := row[k+1:]
		for j, z := range top[k+1:] {
			rest[j] -= f * z
		}
	}
}

// solve replaces b by the solution of the factored equations.
func (m *lu) solve(b []complex128) {
	x := m.work
	for i, p := range m.perm {
		x[i] = b[p]
		for j, f := range m.row(i)[:i] {
			x[i] -= f * x[j]
		}
	}
	for i := m.n - 1; i >= 0; i-- {
		row := m.row(i)
		for j := i + 1; j < m.n; j++ {
			x[i] -= row[j] * x[j]
		}
		x[i] *= row[i]
	}
	copy(b, x)
}
