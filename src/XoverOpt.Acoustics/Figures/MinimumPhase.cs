using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// The minimum phase that belongs to a magnitude: the gain–phase integral on log frequency u = ln ω (H. W. Bode, Network Analysis and
/// Feedback Amplifier Design, 1945),
/// <code>φ(u₀) = (1/π) ∫ (d ln|p|/du) ln coth(|u − u₀|/2) du.</code>
/// On a grid that is even on log frequency it is one fixed matrix times ln|p|. Between points ln|p| is the Catmull–Rom cubic through
/// four neighbours and the kernel is integrated exactly against it; beyond the grid the mean slope of the outermost octave goes on for ever.
/// </summary>
public sealed class MinimumPhase
{
    /// <summary>Rows that are worked on at once: six registers of four for each of two vectors, enough that multiplications bind, not loads.</summary>
    private const int Block = 24;
    private readonly int _count;
    private readonly double[] _falling;
    private readonly double[] _rising;
    private readonly int[] _columns;
    private readonly double[] _edges;
    private readonly ToeplitzThirds _thirds;
    private readonly ToeplitzThirds _transposedThirds;

    /// <summary>Prepares the matrix of a standard grid.</summary>
    /// <exception cref="ArgumentException">The grid is not even on log frequency.</exception>
    public MinimumPhase(FrequencyGrid grid)
    {
        if (grid.PointsPerOctave == 0)
        {
            throw new ArgumentException("The minimum phase needs a grid that is even on log frequency.", nameof(grid));
        }

        int n = grid.Count;
        _count = n;
        double[] matrix = GainPhaseMatrix.Of(n, Math.Log(2) / grid.PointsPerOctave, grid.PointsPerOctave);

        double[] diagonals = GainPhaseMatrix.Diagonals(n, Math.Log(2) / grid.PointsPerOctave);

        // diagonals[m + n] is what row r and column r + m share wherever no edge is near.
        _rising = diagonals;
        _falling = [.. diagonals.Reverse()];
        _thirds = new(n, _falling);
        _transposedThirds = new(n, _rising);
        _columns = [0, 1, grid.PointsPerOctave, n - 1 - grid.PointsPerOctave, n - 2, n - 1];
        _edges = [.. _columns.SelectMany(column => Enumerable.Range(0, n).Select(row => matrix[(row * n) + column] - diagonals[column - row + n]))];
    }

    /// <summary>φ = H ln|p|, radians, for rows [<paramref name="from"/>, <paramref name="to"/>) and some beside them.</summary>
    public void Apply(ReadOnlySpan<double> logMagnitude, Span<double> phase, int from, int to) => ApplyMany(logMagnitude, phase, 1, from, to);

    /// <summary>
    /// H applied to many vectors: rows [<paramref name="from"/>, <paramref name="to"/>), and some beside them, of every one of
    /// <paramref name="vectors"/> consecutive vectors in <paramref name="logMagnitudes"/>, each of the grid's length. Inside, H has one
    /// value a diagonal, which is read from a list that stays in the nearest cache; six columns at the edges differ.
    /// Three or four vectors at once cost two thirds of the multiplications, see <see cref="ToeplitzThirds"/>.
    /// </summary>
    public void ApplyMany(ReadOnlySpan<double> logMagnitudes, Span<double> phases, int vectors, int from, int to)
    {
        int n = _count, v = 0;
        Span<int> starts = stackalloc int[ToeplitzThirds.Vectors];
        for (; vectors - v > 2; v += ToeplitzThirds.Vectors)
        {
            Starts(starts, v, vectors);
            _thirds.Apply(logMagnitudes, starts, 0, n, phases, from, to);
            for (int i = 0; i < Math.Min(starts.Length, vectors - v); i++)
            {
                AddEdges(logMagnitudes.Slice(starts[i], n), phases.Slice(starts[i], n), BandSums.Start(from), BandSums.End(to));
            }
        }

        for (; v < vectors; v += 2)
        {
            int first = v, second = Math.Min(v + 1, vectors - 1);
            ReadOnlySpan<double> x = logMagnitudes.Slice(first * n, n), other = logMagnitudes.Slice(second * n, n);
            for (int at = from; at < to; at += Block)
            {
                int row = Math.Max(Math.Min(at, to - Block), 0);
                Pair(_falling, row + n, 0, n, x, other, phases.Slice((first * n) + row, Block), phases.Slice((second * n) + row, Block), row);
            }
        }
    }

    /// <summary>What the edges add.</summary>
    private void AddEdges(ReadOnlySpan<double> x, Span<double> y, int from, int to)
    {
        ref double result = ref MemoryMarshal.GetReference(y[..to]), edge = ref MemoryMarshal.GetArrayDataReference(_edges);
        Vector256<double> x0 = Vector256.Create(x[_columns[0]]), x1 = Vector256.Create(x[_columns[1]]), x2 = Vector256.Create(x[_columns[2]]);
        Vector256<double> x3 = Vector256.Create(x[_columns[3]]), x4 = Vector256.Create(x[_columns[4]]), x5 = Vector256.Create(x[_columns[5]]);
        for (int k = from; k < to; k += 4)
        {
            Vector256<double> low = Vector256.FusedMultiplyAdd(BandSums.At(ref edge, k), x0, BandSums.At(ref result, k));
            Vector256<double> high = BandSums.At(ref edge, k + (3 * _count)) * x3;
            low = Vector256.FusedMultiplyAdd(BandSums.At(ref edge, k + _count), x1, low);
            high = Vector256.FusedMultiplyAdd(BandSums.At(ref edge, k + (4 * _count)), x4, high);
            low = Vector256.FusedMultiplyAdd(BandSums.At(ref edge, k + (2 * _count)), x2, low);
            high = Vector256.FusedMultiplyAdd(BandSums.At(ref edge, k + (5 * _count)), x5, high);
            Vector256.StoreUnsafe(low + high, ref result, (nuint)k);
        }
    }

    /// <summary>
    /// y = Hᵀ c over rows [<paramref name="from"/>, <paramref name="to"/>), for each of <paramref name="vectors"/> consecutive c of the grid's
    /// length that are zero elsewhere: how weighted sums of phases depend on ln|p|.
    /// </summary>
    public void ApplyTransposed(ReadOnlySpan<double> c, Span<double> y, int vectors, int from, int to)
    {
        int n = _count, v = 0;
        Span<int> starts = stackalloc int[ToeplitzThirds.Vectors];
        for (; vectors - v > 2; v += ToeplitzThirds.Vectors)
        {
            Starts(starts, v, vectors);
            _transposedThirds.Apply(c, starts, from, to, y, 0, n);
        }

        for (; v < vectors; v += 2)
        {
            int first = v * n, second = Math.Min(v + 1, vectors - 1) * n;
            for (int at = 0; at < n; at += Block)
            {
                int column = Math.Min(at, n - Block);
                Pair(_rising, column + n, from, to, c.Slice(first, n), c.Slice(second, n), y.Slice(first + column, Block), y.Slice(second + column, Block), -1);
            }
        }

        for (v = 0; v < vectors; v++)
        {
            for (int j = 0; j < _columns.Length; j++)
            {
                y[(v * n) + _columns[j]] += BandSums.Dot(_edges.AsSpan(j * n, n), c.Slice(v * n, n), from, to);
            }
        }
    }

    /// <summary>Where four vectors begin; where there are fewer, the last again.</summary>
    private void Starts(Span<int> starts, int first, int vectors)
    {
        for (int i = 0; i < starts.Length; i++)
        {
            starts[i] = Math.Min(first + i, vectors - 1) * _count;
        }
    }

    /// <summary>
    /// Σ over j in [from, to) of x[j]·diagonal[base − j + i] for i in 0 … 23, for two x; each result is summed in rising j, whatever the lanes.
    /// </summary>
    /// <param name="diagonals">Diagonals, read upwards along the results.</param>
    /// <param name="at">Where the list is read for j = 0.</param>
    /// <param name="from">First j.</param>
    /// <param name="to">One past the last j.</param>
    /// <param name="x">First vector.</param>
    /// <param name="other">Second vector.</param>
    /// <param name="y">Its 24 results.</param>
    /// <param name="otherY">Those of the second.</param>
    /// <param name="row">Row of the first result, for what the edges add; −1 to leave it out.</param>
    private void Pair(
        double[] diagonals,
        int at,
        int from,
        int to,
        ReadOnlySpan<double> x,
        ReadOnlySpan<double> other,
        Span<double> y,
        Span<double> otherY,
        int row)
    {
        Vector256<double> a0 = default, a1 = default, a2 = default, a3 = default, a4 = default, a5 = default;
        Vector256<double> b0 = default, b1 = default, b2 = default, b3 = default, b4 = default, b5 = default;
        ref double first = ref MemoryMarshal.GetReference(x[..to]), second = ref MemoryMarshal.GetReference(other[..to]);
        ref double t = ref MemoryMarshal.GetReference(diagonals.AsSpan(at - to + 1, to - from + Block - 1));
        t = ref Unsafe.Add(ref t, to - 1);
        for (int j = from; j < to; j++)
        {
            var p = Vector256.Create(Unsafe.Add(ref first, j));
            var q = Vector256.Create(Unsafe.Add(ref second, j));
            ref double here = ref Unsafe.Add(ref t, -j);
            Vector256<double> h = Vector256.LoadUnsafe(ref here);
            (a0, b0) = (Vector256.FusedMultiplyAdd(h, p, a0), Vector256.FusedMultiplyAdd(h, q, b0));
            h = Vector256.LoadUnsafe(ref here, 4);
            (a1, b1) = (Vector256.FusedMultiplyAdd(h, p, a1), Vector256.FusedMultiplyAdd(h, q, b1));
            h = Vector256.LoadUnsafe(ref here, 8);
            (a2, b2) = (Vector256.FusedMultiplyAdd(h, p, a2), Vector256.FusedMultiplyAdd(h, q, b2));
            h = Vector256.LoadUnsafe(ref here, 12);
            (a3, b3) = (Vector256.FusedMultiplyAdd(h, p, a3), Vector256.FusedMultiplyAdd(h, q, b3));
            h = Vector256.LoadUnsafe(ref here, 16);
            (a4, b4) = (Vector256.FusedMultiplyAdd(h, p, a4), Vector256.FusedMultiplyAdd(h, q, b4));
            h = Vector256.LoadUnsafe(ref here, 20);
            (a5, b5) = (Vector256.FusedMultiplyAdd(h, p, a5), Vector256.FusedMultiplyAdd(h, q, b5));
        }

        for (int j = 0; row >= 0 && j < _columns.Length; j++)
        {
            var p = Vector256.Create(x[_columns[j]]);
            var q = Vector256.Create(other[_columns[j]]);
            ref double here = ref MemoryMarshal.GetReference(_edges.AsSpan((j * _count) + row, Block));
            Vector256<double> h = Vector256.LoadUnsafe(ref here);
            (a0, b0) = (Vector256.FusedMultiplyAdd(h, p, a0), Vector256.FusedMultiplyAdd(h, q, b0));
            h = Vector256.LoadUnsafe(ref here, 4);
            (a1, b1) = (Vector256.FusedMultiplyAdd(h, p, a1), Vector256.FusedMultiplyAdd(h, q, b1));
            h = Vector256.LoadUnsafe(ref here, 8);
            (a2, b2) = (Vector256.FusedMultiplyAdd(h, p, a2), Vector256.FusedMultiplyAdd(h, q, b2));
            h = Vector256.LoadUnsafe(ref here, 12);
            (a3, b3) = (Vector256.FusedMultiplyAdd(h, p, a3), Vector256.FusedMultiplyAdd(h, q, b3));
            h = Vector256.LoadUnsafe(ref here, 16);
            (a4, b4) = (Vector256.FusedMultiplyAdd(h, p, a4), Vector256.FusedMultiplyAdd(h, q, b4));
            h = Vector256.LoadUnsafe(ref here, 20);
            (a5, b5) = (Vector256.FusedMultiplyAdd(h, p, a5), Vector256.FusedMultiplyAdd(h, q, b5));
        }

        Put(y, a0, a1, a2, a3, a4, a5);
        Put(otherY, b0, b1, b2, b3, b4, b5);
    }

    private static void Put(
        Span<double> y, Vector256<double> v0, Vector256<double> v1, Vector256<double> v2, Vector256<double> v3, Vector256<double> v4, Vector256<double> v5)
    {
        ref double first = ref MemoryMarshal.GetReference(y[..Block]);
        Vector256.StoreUnsafe(v0, ref first);
        Vector256.StoreUnsafe(v1, ref first, 4);
        Vector256.StoreUnsafe(v2, ref first, 8);
        Vector256.StoreUnsafe(v3, ref first, 12);
        Vector256.StoreUnsafe(v4, ref first, 16);
        Vector256.StoreUnsafe(v5, ref first, 20);
    }
}
