using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using XoverOpt.Acoustics.Figures;

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

    /// <summary>Adds one residual r with the derivatives <paramref name="row"/>, counted <paramref name="weight"/> times.</summary>
    public void Add(double residual, ReadOnlySpan<double> row, double weight = 1)
    {
        for (int p = 0; p < Count; p++)
        {
            double weighted = weight * row[p];
            _gradient[p] += residual * weighted;
            for (int q = 0; q <= p; q++)
            {
                _matrix[(p * Count) + q] += weighted * row[q];
            }
        }
    }

    /// <summary>
    /// Adds a residual at each grid point of [from, to): <paramref name="tangents"/> holds ∂x/∂θ (a row a value, <paramref name="stride"/>
    /// apart), <paramref name="weights"/> half the second and <paramref name="slopes"/> half the first derivative of F by x, both zero
    /// beside the band; <paramref name="scratch"/> has the size of the tangents.
    /// </summary>
    public void AddBlock(
        ReadOnlySpan<double> tangents, int stride, ReadOnlySpan<double> weights, ReadOnlySpan<double> slopes, Span<double> scratch, int from, int to)
    {
        int start = BandSums.Start(from), end = BandSums.End(to);
        ref double tangent = ref MemoryMarshal.GetReference(tangents[..(Count * stride)]), weighted = ref MemoryMarshal.GetReference(scratch[..(Count * stride)]);
        ref double weight = ref MemoryMarshal.GetReference(weights[..end]), slope = ref MemoryMarshal.GetReference(slopes[..end]);
        for (int p = 0; p < Count; p++)
        {
            ref double row = ref Unsafe.Add(ref tangent, p * stride);
            ref double result = ref Unsafe.Add(ref weighted, p * stride);
            Vector256<double> gradient = default;
            for (int k = start; k < end; k += 4)
            {
                Vector256<double> t = Vector256.LoadUnsafe(ref row, (nuint)k);
                gradient = Vector256.FusedMultiplyAdd(t, Vector256.LoadUnsafe(ref slope, (nuint)k), gradient);
                Vector256.StoreUnsafe(t * Vector256.LoadUnsafe(ref weight, (nuint)k), ref result, (nuint)k);
            }

            _gradient[p] += BandSums.Total(gradient);
        }

        // Two by two, so that each number loaded is used twice; of an odd count the last is worked on twice and counted once.
        for (int p = 0; p < Count; p += 2)
        {
            int nextP = Math.Min(p + 1, Count - 1);
            for (int q = 0; q <= p; q += 2)
            {
                int nextQ = Math.Min(q + 1, Count - 1);
                (double ac, double ad, double bc, double bd) = BandSums.Dots(
                    scratch.Slice(p * stride, stride),
                    scratch.Slice(nextP * stride, stride),
                    tangents.Slice(q * stride, stride),
                    tangents.Slice(nextQ * stride, stride),
                    start,
                    end);
                _matrix[(p * Count) + q] += ac;
                if (nextQ > q && q < p)
                {
                    _matrix[(p * Count) + nextQ] += ad;
                }

                if (nextP > p)
                {
                    _matrix[(nextP * Count) + q] += bc;
                    if (nextQ > q)
                    {
                        _matrix[(nextP * Count) + nextQ] += bd;
                    }
                }
            }
        }
    }
}
