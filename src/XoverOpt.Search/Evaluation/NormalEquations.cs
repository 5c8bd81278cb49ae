using System.Runtime.Intrinsics;

namespace XoverOpt.Search;

/// <summary>
/// A sum of squares F = Σ r² to second order (Gauss and Newton): JᵀJ and Jᵀr for <see cref="Count"/> values, row-major, symmetric.
/// </summary>
public sealed class NormalEquations
{
    private readonly double[] _matrix = new double[Acoustics.Kernel.KernelWorkspace.MaxParameters * Acoustics.Kernel.KernelWorkspace.MaxParameters];
    private readonly double[] _gradient = new double[Acoustics.Kernel.KernelWorkspace.MaxParameters];

    /// <summary>How many values.</summary>
    public int Count { get; private set; }

    /// <summary>JᵀJ; only the lower triangle is kept up.</summary>
    public Span<double> Matrix => _matrix.AsSpan(0, Count * Count);

    /// <summary>Jᵀr: half the gradient of F.</summary>
    public Span<double> Gradient => _gradient.AsSpan(0, Count);

    /// <summary>Starts over with <paramref name="count"/> values.</summary>
    public void Reset(int count)
    {
        Count = count;
        Matrix.Clear();
        Gradient.Clear();
    }

    /// <summary>Adds one residual r with the derivatives <paramref name="row"/>.</summary>
    public void Add(double residual, ReadOnlySpan<double> row)
    {
        for (int p = 0; p < Count; p++)
        {
            _gradient[p] += residual * row[p];
            for (int q = 0; q <= p; q++)
            {
                _matrix[(p * Count) + q] += row[p] * row[q];
            }
        }
    }

    /// <summary>
    /// Adds a residual at each grid point of [from, to): <paramref name="tangents"/> holds ∂x/∂θ (a row a value, <paramref name="stride"/>
    /// apart), <paramref name="weights"/> the second and half the <paramref name="slopes"/> the first derivative of F by x.
    /// </summary>
    public void AddBlock(
        ReadOnlySpan<double> tangents, int stride, ReadOnlySpan<double> weights, ReadOnlySpan<double> slopes, Span<double> scratch, int from, int to)
    {
        // Whole lanes: outside the band weights, slopes and therefore products are zero.
        int start = from & ~3, end = (to + 3) & ~3;
        for (int p = 0; p < Count; p++)
        {
            ReadOnlySpan<double> row = tangents.Slice(p * stride, stride);
            Vector256<double> gradient = default;
            for (int k = start; k < end; k += 4)
            {
                Vector256<double> t = Vector256.Create(row.Slice(k, 4));
                gradient = Vector256.FusedMultiplyAdd(t, Vector256.Create(slopes.Slice(k, 4)), gradient);
                (t * Vector256.Create(weights.Slice(k, 4))).CopyTo(scratch.Slice(k, 4));
            }

            _gradient[p] += Sum(gradient);
            for (int q = 0; q <= p; q++)
            {
                ReadOnlySpan<double> other = tangents.Slice(q * stride, stride);
                Vector256<double> product = default;
                for (int k = start; k < end; k += 4)
                {
                    product = Vector256.FusedMultiplyAdd(Vector256.Create<double>(scratch.Slice(k, 4)), Vector256.Create(other.Slice(k, 4)), product);
                }

                _matrix[(p * Count) + q] += Sum(product);
            }
        }
    }

    private static double Sum(Vector256<double> s) => (s[0] + s[2]) + (s[1] + s[3]);
}
