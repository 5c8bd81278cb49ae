using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// Products of a matrix that has one value a diagonal (Toeplitz) with four vectors at once, at two thirds of the multiplications. Blocks of
/// 24 by 24 are cut into thirds, T₋₂ … T₂ by the offset of a third of y from a third of x; of nine products six are left
/// (S. Winograd, Arithmetic Complexity of Computations, 1980, on short convolutions; here in the form without divisions):
/// <code>
/// p₁ = (T₋₂ − T₋₁ − T₀) x₂    p₄ = T₋₁ (x₁ + x₂)    y₀ = p₁ + p₄ + p₅
/// p₂ = (T₀ − T₋₁ − T₁) x₁     p₅ = T₀ (x₀ + x₂)     y₁ = p₂ + p₄ + p₆
/// p₃ = (T₂ − T₀ − T₁) x₀      p₆ = T₁ (x₀ + x₁)     y₂ = p₃ + p₅ + p₆
/// </code>
/// Each product is summed in rising order over all of x, so that results do not depend on which rows are asked for.
/// </summary>
internal sealed class ToeplitzThirds
{
    /// <summary>Rows that come together.</summary>
    public const int Group = 3 * Third;

    /// <summary>Vectors that come together: with two registers of a third each, just enough sums to keep both multipliers busy.</summary>
    public const int Vectors = 4;

    private const int Third = 8;
    private const int Products = 6;
    private const int Size = Vectors * Third;
    private readonly int _count;
    private readonly int _padded;
    private readonly int _centre;
    private readonly double[] _list;
    private readonly double[] _onLast;
    private readonly double[] _onMiddle;
    private readonly double[] _onFirst;

    /// <param name="count">n, rows and columns.</param>
    /// <param name="list">What row r and column c hold, at n + r − c; 2n + 1 numbers.</param>
    public ToeplitzThirds(int count, double[] list)
    {
        _count = count;
        _padded = (count + Group - 1) / Group * Group;
        _centre = _padded + Group;
        double At(int offset) => Math.Abs(offset) <= count ? list[count + offset] : 0;
        double[] Of(Func<int, double> entry) => [.. Enumerable.Range(-_centre, (2 * _centre) + Group).Select(entry)];
        _list = Of(At);
        _onLast = Of(m => At(m - (2 * Third)) - At(m - Third) - At(m));
        _onMiddle = Of(m => At(m) - At(m - Third) - At(m + Third));
        _onFirst = Of(m => At(m + (2 * Third)) - At(m) - At(m + Third));
    }

    /// <summary>y = T x in whole groups of rows that hold [<paramref name="from"/>, <paramref name="to"/>).</summary>
    /// <param name="x">Where the four vectors stand, n numbers each.</param>
    /// <param name="starts">Where each begins; vectors may be the same.</param>
    /// <param name="xFrom">First number of each that is not zero.</param>
    /// <param name="xTo">One past the last.</param>
    /// <param name="y">Results, at the same starts; in rows beside the groups nothing is written.</param>
    /// <param name="from">First row.</param>
    /// <param name="to">One past the last row.</param>
    [SkipLocalsInit]
    public void Apply(ReadOnlySpan<double> x, ReadOnlySpan<int> starts, int xFrom, int xTo, Span<double> y, int from, int to)
    {
        int first = xFrom / Group, groups = ((xTo + Group - 1) / Group) - first, length = groups * Third;
        Span<double> terms = stackalloc double[Products * Vectors * length];
        for (int v = 0; v < Vectors; v++)
        {
            Terms(x.Slice(starts[v], _count), first * Group, groups, terms[(v * length)..]);
        }

        // Where there are registers enough, two groups of rows share what is loaded of x.
        bool wide = LaneWidth.IsEight(_count);
        Span<double> products = stackalloc double[2 * Products * Size];
        ref double term = ref MemoryMarshal.GetReference(terms), product = ref MemoryMarshal.GetReference(products);
        for (int row = from / Group * Group; row < to; row += Group)
        {
            bool two = wide && row + Group < to;
            int at = _centre + row - (first * Group);
            for (int p = 0; p < Products; p++)
            {
                ref double list = ref (p == 0 ? ref _onLast[at] : ref p == 1 ? ref _onMiddle[at] : ref p == 2 ? ref _onFirst[at] : ref _list[at + ((p - 4) * Third)]);
                ref double x0 = ref Unsafe.Add(ref term, p * Vectors * length), result = ref Unsafe.Add(ref product, p * Size);
                if (two)
                {
                    MultiplyTwo(ref list, ref x0, groups, length, ref result, ref Unsafe.Add(ref result, Products * Size));
                }
                else
                {
                    Multiply(ref list, ref x0, groups, length, ref result);
                }
            }

            Join(ref product, starts, y, row);
            if (two)
            {
                row += Group;
                Join(ref Unsafe.Add(ref product, Products * Size), starts, y, row);
            }
        }
    }

    /// <summary>Three thirds of y of each vector from the six products.</summary>
    private void Join(ref double product, ReadOnlySpan<int> starts, Span<double> y, int row)
    {
        for (int v = 0; v < Vectors; v++)
        {
            Span<double> rows = y.Slice(starts[v] + row, Math.Min(Group, _count - row));
            for (int k = 0; k < Third; k += 4)
            {
                int lane = (v * Third) + k;
                Vector256<double> p4 = BandSums.At(ref product, (3 * Size) + lane), p5 = BandSums.At(ref product, (4 * Size) + lane);
                Vector256<double> p6 = BandSums.At(ref product, (5 * Size) + lane);
                (BandSums.At(ref product, lane) + (p4 + p5)).CopyTo(rows[k..]);
                if (rows.Length > k + Third)
                {
                    (BandSums.At(ref product, Size + lane) + (p4 + p6)).CopyTo(rows[(k + Third)..]);
                }

                if (rows.Length > k + (2 * Third))
                {
                    (BandSums.At(ref product, (2 * Size) + lane) + (p5 + p6)).CopyTo(rows[(k + (2 * Third))..]);
                }
            }
        }
    }

    /// <summary>What the six products take of one vector: its thirds and their sums, a row a product.</summary>
    private static void Terms(ReadOnlySpan<double> x, int from, int groups, Span<double> terms)
    {
        int step = Vectors * groups * Third;
        ref double term = ref MemoryMarshal.GetReference(terms);
        for (int g = 0; g < groups; g++)
        {
            for (int j = 0; j < Third; j += 4)
            {
                int at = from + (g * Group) + j, to = (g * Third) + j;
                Vector256<double> x0 = Part(x, at), x1 = Part(x, at + Third), x2 = Part(x, at + (2 * Third));
                Vector256.StoreUnsafe(x2, ref term, (nuint)to);
                Vector256.StoreUnsafe(x1, ref term, (nuint)(to + step));
                Vector256.StoreUnsafe(x0, ref term, (nuint)(to + (2 * step)));
                Vector256.StoreUnsafe(x1 + x2, ref term, (nuint)(to + (3 * step)));
                Vector256.StoreUnsafe(x0 + x2, ref term, (nuint)(to + (4 * step)));
                Vector256.StoreUnsafe(x0 + x1, ref term, (nuint)(to + (5 * step)));
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Part(ReadOnlySpan<double> x, int at) =>
        at + 4 <= x.Length ? Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(x), (nuint)at) : Vector256<double>.Zero;

    /// <summary>Eight rows of one product for four vectors.</summary>
    /// <param name="list">The diagonals, at that of the first row and the first column.</param>
    /// <param name="x">What is multiplied, of each vector <paramref name="length"/> numbers.</param>
    /// <param name="groups">How many thirds that is.</param>
    /// <param name="length">Eight times as many.</param>
    /// <param name="y">Eight results of each vector.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private static void Multiply(ref double list, ref double x, int groups, nint length, ref double y)
    {
        Vector256<double> a0 = default, a1 = default, b0 = default, b1 = default, c0 = default, c1 = default, d0 = default, d1 = default;
        ref double first = ref x, second = ref Unsafe.Add(ref x, length);
        ref double third = ref Unsafe.Add(ref second, length), fourth = ref Unsafe.Add(ref third, length);
        nint at = 0;
        for (int g = 0; g < groups; g++)
        {
            nint end = at + Third;
            for (; at < end; at++)
            {
                Vector256<double> low = Vector256.LoadUnsafe(ref list), high = Vector256.LoadUnsafe(ref list, 4);
                var p = Vector256.Create(Unsafe.Add(ref first, at));
                (a0, a1) = (Vector256.FusedMultiplyAdd(low, p, a0), Vector256.FusedMultiplyAdd(high, p, a1));
                p = Vector256.Create(Unsafe.Add(ref second, at));
                (b0, b1) = (Vector256.FusedMultiplyAdd(low, p, b0), Vector256.FusedMultiplyAdd(high, p, b1));
                p = Vector256.Create(Unsafe.Add(ref third, at));
                (c0, c1) = (Vector256.FusedMultiplyAdd(low, p, c0), Vector256.FusedMultiplyAdd(high, p, c1));
                p = Vector256.Create(Unsafe.Add(ref fourth, at));
                (d0, d1) = (Vector256.FusedMultiplyAdd(low, p, d0), Vector256.FusedMultiplyAdd(high, p, d1));
                list = ref Unsafe.Subtract(ref list, 1);
            }

            list = ref Unsafe.Subtract(ref list, Group - Third);
        }

        Vector256.StoreUnsafe(a0, ref y);
        Vector256.StoreUnsafe(a1, ref y, 4);
        Vector256.StoreUnsafe(b0, ref y, 8);
        Vector256.StoreUnsafe(b1, ref y, 12);
        Vector256.StoreUnsafe(c0, ref y, 16);
        Vector256.StoreUnsafe(c1, ref y, 20);
        Vector256.StoreUnsafe(d0, ref y, 24);
        Vector256.StoreUnsafe(d1, ref y, 28);
    }

    /// <summary>As <see cref="Multiply"/>, and eight rows of the next group of rows beside.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private static void MultiplyTwo(ref double list, ref double x, int groups, nint length, ref double y, ref double otherY)
    {
        Vector256<double> a0 = default, a1 = default, a2 = default, a3 = default;
        Vector256<double> b0 = default, b1 = default, b2 = default, b3 = default;
        Vector256<double> c0 = default, c1 = default, c2 = default, c3 = default;
        Vector256<double> d0 = default, d1 = default, d2 = default, d3 = default;
        ref double first = ref x, second = ref Unsafe.Add(ref x, length);
        ref double third = ref Unsafe.Add(ref second, length), fourth = ref Unsafe.Add(ref third, length);
        nint at = 0;
        for (int g = 0; g < groups; g++)
        {
            nint end = at + Third;
            for (; at < end; at++)
            {
                Vector256<double> h0 = Vector256.LoadUnsafe(ref list), h1 = Vector256.LoadUnsafe(ref list, 4);
                Vector256<double> h2 = Vector256.LoadUnsafe(ref list, Group), h3 = Vector256.LoadUnsafe(ref list, Group + 4);
                var p = Vector256.Create(Unsafe.Add(ref first, at));
                (a0, a1) = (Vector256.FusedMultiplyAdd(h0, p, a0), Vector256.FusedMultiplyAdd(h1, p, a1));
                (a2, a3) = (Vector256.FusedMultiplyAdd(h2, p, a2), Vector256.FusedMultiplyAdd(h3, p, a3));
                p = Vector256.Create(Unsafe.Add(ref second, at));
                (b0, b1) = (Vector256.FusedMultiplyAdd(h0, p, b0), Vector256.FusedMultiplyAdd(h1, p, b1));
                (b2, b3) = (Vector256.FusedMultiplyAdd(h2, p, b2), Vector256.FusedMultiplyAdd(h3, p, b3));
                p = Vector256.Create(Unsafe.Add(ref third, at));
                (c0, c1) = (Vector256.FusedMultiplyAdd(h0, p, c0), Vector256.FusedMultiplyAdd(h1, p, c1));
                (c2, c3) = (Vector256.FusedMultiplyAdd(h2, p, c2), Vector256.FusedMultiplyAdd(h3, p, c3));
                p = Vector256.Create(Unsafe.Add(ref fourth, at));
                (d0, d1) = (Vector256.FusedMultiplyAdd(h0, p, d0), Vector256.FusedMultiplyAdd(h1, p, d1));
                (d2, d3) = (Vector256.FusedMultiplyAdd(h2, p, d2), Vector256.FusedMultiplyAdd(h3, p, d3));
                list = ref Unsafe.Subtract(ref list, 1);
            }

            list = ref Unsafe.Subtract(ref list, Group - Third);
        }

        Vector256.StoreUnsafe(a0, ref y);
        Vector256.StoreUnsafe(a1, ref y, 4);
        Vector256.StoreUnsafe(a2, ref otherY);
        Vector256.StoreUnsafe(a3, ref otherY, 4);
        Vector256.StoreUnsafe(b0, ref y, 8);
        Vector256.StoreUnsafe(b1, ref y, 12);
        Vector256.StoreUnsafe(b2, ref otherY, 8);
        Vector256.StoreUnsafe(b3, ref otherY, 12);
        Vector256.StoreUnsafe(c0, ref y, 16);
        Vector256.StoreUnsafe(c1, ref y, 20);
        Vector256.StoreUnsafe(c2, ref otherY, 16);
        Vector256.StoreUnsafe(c3, ref otherY, 20);
        Vector256.StoreUnsafe(d0, ref y, 24);
        Vector256.StoreUnsafe(d1, ref y, 28);
        Vector256.StoreUnsafe(d2, ref otherY, 24);
        Vector256.StoreUnsafe(d3, ref otherY, 28);
    }
}
