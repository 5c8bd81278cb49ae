namespace XoverOpt.Search;

/// <summary>L Lᵀ = A for a symmetric positive definite matrix, in place, row by row.</summary>
internal static class Cholesky
{
    /// <summary>Overwrites the lower triangle with L; a pivot that rounding made no longer positive is lifted to a tiny one.</summary>
    public static void Factor(double[] matrix, int n)
    {
        for (int i = 0; i < n; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                double sum = matrix[(i * n) + j];
                for (int k = 0; k < j; k++)
                {
                    sum -= matrix[(i * n) + k] * matrix[(j * n) + k];
                }

                matrix[(i * n) + j] = i == j ? Math.Sqrt(Math.Max(sum, 1e-12)) : sum / matrix[(j * n) + j];
            }
        }
    }

    /// <summary>Solves L Lᵀ x = b, in place.</summary>
    public static void Solve(double[] factor, Span<double> b)
    {
        int n = b.Length;
        for (int i = 0; i < n; i++)
        {
            for (int k = 0; k < i; k++)
            {
                b[i] -= factor[(i * n) + k] * b[k];
            }

            b[i] /= factor[(i * n) + i];
        }

        for (int i = n - 1; i >= 0; i--)
        {
            for (int k = i + 1; k < n; k++)
            {
                b[i] -= factor[(k * n) + i] * b[k];
            }

            b[i] /= factor[(i * n) + i];
        }
    }
}
