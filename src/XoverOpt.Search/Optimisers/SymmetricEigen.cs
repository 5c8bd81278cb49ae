namespace XoverOpt.Search;

/// <summary>
/// Eigenvalues and vectors of a small symmetric matrix by cyclic Jacobi rotations (G. H. Golub and C. F. Van Loan, Matrix Computations,
/// 4th ed., section 8.5). One thread, sums in a fixed order: the same bits on every run.
/// </summary>
internal static class SymmetricEigen
{
    private const int Sweeps = 40;

    /// <summary>matrix = vectors · diag(values) · vectorsᵀ.</summary>
    /// <param name="matrix">Symmetric, n × n in rows; left as it is.</param>
    /// <param name="vectors">Receives the eigenvectors as columns, n × n in rows.</param>
    /// <param name="values">Receives the eigenvalues, n, in no order.</param>
    /// <returns>False if the matrix is not finite.</returns>
    public static bool Decompose(ReadOnlySpan<double> matrix, Span<double> vectors, Span<double> values)
    {
        int n = values.Length;
        double[] a = matrix.ToArray();
        vectors.Clear();
        double all = 0;
        for (int i = 0; i < n; i++)
        {
            vectors[(i * n) + i] = 1;
            for (int j = 0; j < n; j++)
            {
                all += a[(i * n) + j] * a[(i * n) + j];
            }
        }

        if (!double.IsFinite(all))
        {
            return false;
        }

        for (int sweep = 0; sweep < Sweeps; sweep++)
        {
            bool rotated = false;
            for (int p = 0; p < n - 1; p++)
            {
                for (int q = p + 1; q < n; q++)
                {
                    // Small against the two diagonal elements, so that small eigenvalues come out as exact as large ones.
                    double off = a[(p * n) + q];
                    if (Math.Abs(off) > 1e-16 * Math.Sqrt(Math.Abs(a[(p * n) + p])) * Math.Sqrt(Math.Abs(a[(q * n) + q])))
                    {
                        rotated = true;
                        Rotate(a, vectors, n, p, q);
                    }
                }
            }

            if (!rotated)
            {
                break;
            }
        }

        for (int i = 0; i < n; i++)
        {
            values[i] = a[(i * n) + i];
        }

        return true;
    }

    private static void Rotate(Span<double> a, Span<double> vectors, int n, int p, int q)
    {
        double tau = (a[(q * n) + q] - a[(p * n) + p]) / (2 * a[(p * n) + q]);
        double t = (tau >= 0 ? 1 : -1) / (Math.Abs(tau) + Math.Sqrt(1 + (tau * tau)));
        double c = 1 / Math.Sqrt(1 + (t * t)), s = t * c;
        for (int k = 0; k < n; k++)
        {
            (a[(k * n) + p], a[(k * n) + q]) = Turn(a[(k * n) + p], a[(k * n) + q], c, s);
        }

        for (int k = 0; k < n; k++)
        {
            (a[(p * n) + k], a[(q * n) + k]) = Turn(a[(p * n) + k], a[(q * n) + k], c, s);
            (vectors[(k * n) + p], vectors[(k * n) + q]) = Turn(vectors[(k * n) + p], vectors[(k * n) + q], c, s);
        }

        a[(p * n) + q] = a[(q * n) + p] = 0;
    }

    private static (double X, double Y) Turn(double x, double y, double c, double s) => ((c * x) - (s * y), (s * x) + (c * y));
}
