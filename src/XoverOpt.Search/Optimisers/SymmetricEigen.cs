namespace XoverOpt.Search;

/// <summary>
/// Eigenvalues and vectors of a small symmetric matrix: Householder reduction to three diagonals (R. S. Martin, C. Reinsch and J. H.
/// Wilkinson, Numer. Math. 11 (1968) 181–195), then QL with implicit shifts (A. Dubrulle, R. S. Martin and J. H. Wilkinson, Numer. Math. 12
/// (1968) 377–383). One thread, sums in a fixed order: the same bits on every run. Errors are a few roundings of the largest eigenvalue.
/// </summary>
internal static class SymmetricEigen
{
    private const int MostRounds = 60;
    private const double Rounding = 2.2e-16;

    /// <summary>matrix = Σ values[k] · vₖ·vₖᵀ.</summary>
    /// <param name="matrix">Symmetric, n × n in rows; left as it is.</param>
    /// <param name="vectors">Receives the eigenvectors as rows, n × n.</param>
    /// <param name="values">Receives the eigenvalues, n, in no order.</param>
    /// <returns>False if the matrix is not finite.</returns>
    public static bool Decompose(ReadOnlySpan<double> matrix, Span<double> vectors, Span<double> values)
    {
        int n = values.Length;
        double[] a = matrix.ToArray();
        Span<double> beside = new double[n];
        double all = 0;
        vectors.Clear();
        for (int i = 0; i < n; i++)
        {
            vectors[(i * n) + i] = 1;
        }

        foreach (double element in a)
        {
            all += element * element;
        }

        if (!double.IsFinite(all))
        {
            return false;
        }

        Reduce(a, vectors, n);
        for (int i = 0; i < n; i++)
        {
            values[i] = a[(i * n) + i];
            beside[i] = i < n - 1 ? a[(i * n) + i + 1] : 0;
        }

        return Iterate(values, beside, vectors, n);
    }

    /// <summary>Reflections that leave the diagonal of a and what is beside it; the product of the reflections goes to the vectors.</summary>
    private static void Reduce(Span<double> a, Span<double> vectors, int n)
    {
        Span<double> q = new double[n], v = new double[n];
        for (int k = 0; k < n - 2; k++)
        {
            a.Slice((k * n) + k + 1, n - k - 1).CopyTo(v[(k + 1)..]);
            double first = v[k + 1], rest = Dot(v[(k + 2)..], v[(k + 2)..]), length = (first * first) + rest;
            if (rest == 0)
            {
                continue;
            }

            double alpha = -Math.CopySign(Math.Sqrt(length), first), scale = 1 / (length - (alpha * first)), along = 0;
            v[k + 1] -= alpha;
            for (int i = k + 1; i < n; i++)
            {
                q[i] = scale * Dot(a.Slice((i * n) + k + 1, n - k - 1), v[(k + 1)..]);
                along += scale / 2 * v[i] * q[i];
            }

            for (int i = k + 1; i < n; i++)
            {
                q[i] -= along * v[i];
            }

            for (int i = k + 1; i < n; i++)
            {
                for (int j = k + 1; j < n; j++)
                {
                    a[(i * n) + j] -= (v[i] * q[j]) + (q[i] * v[j]);
                }
            }

            a[(k * n) + k + 1] = alpha;
            q.Clear();
            for (int i = k + 1; i < n; i++)
            {
                AddTo(q, vectors.Slice(i * n, n), scale * v[i]);
            }

            for (int i = k + 1; i < n; i++)
            {
                AddTo(vectors.Slice(i * n, n), q, -v[i]);
            }
        }
    }

    private static bool Iterate(Span<double> d, Span<double> e, Span<double> vectors, int n)
    {
        for (int l = 0, rounds = 0; l < n; l++, rounds = 0)
        {
            while (true)
            {
                int m = l;
                while (m < n - 1 && Math.Abs(e[m]) > Rounding * (Math.Abs(d[m]) + Math.Abs(d[m + 1])))
                {
                    m++;
                }

                if (m == l)
                {
                    break;
                }

                if (rounds++ == MostRounds)
                {
                    return false;
                }

                Round(d, e, vectors, n, l, m);
            }
        }

        return true;
    }

    /// <summary>One implicit QL step on rows l … m.</summary>
    private static void Round(Span<double> d, Span<double> e, Span<double> vectors, int n, int l, int m)
    {
        double shift = (d[l + 1] - d[l]) / (2 * e[l]);
        double g = d[m] - d[l] + (e[l] / (shift + Math.CopySign(Math.Sqrt((shift * shift) + 1), shift)));
        double s = 1, c = 1, p = 0;
        for (int i = m - 1; i >= l; i--)
        {
            double f = s * e[i], b = c * e[i], r = Math.Sqrt((f * f) + (g * g));
            e[i + 1] = r;
            if (r == 0)
            {
                d[i + 1] -= p;
                e[m] = 0;
                return;
            }

            (s, c) = (f / r, g / r);
            g = d[i + 1] - p;
            r = ((d[i] - g) * s) + (2 * c * b);
            p = s * r;
            d[i + 1] = g + p;
            g = (c * r) - b;
            Span<double> lower = vectors.Slice(i * n, n), upper = vectors.Slice((i + 1) * n, n);
            for (int k = 0; k < lower.Length; k++)
            {
                (lower[k], upper[k]) = ((c * lower[k]) - (s * upper[k]), (s * lower[k]) + (c * upper[k]));
            }
        }

        d[l] -= p;
        e[l] = g;
        e[m] = 0;
    }

    private static double Dot(ReadOnlySpan<double> x, ReadOnlySpan<double> y)
    {
        double sum = 0;
        for (int i = 0; i < x.Length; i++)
        {
            sum += x[i] * y[i];
        }

        return sum;
    }

    private static void AddTo(Span<double> sum, ReadOnlySpan<double> x, double factor)
    {
        for (int i = 0; i < sum.Length; i++)
        {
            sum[i] += factor * x[i];
        }
    }
}
