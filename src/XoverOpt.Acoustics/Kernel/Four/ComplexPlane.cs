using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>
/// A complex quantity over the grid: real and imaginary parts in rows of their own. Its length is checked once, where it is made; reads
/// and writes then go unchecked, since loops run in whole lanes inside the grid.
/// </summary>
internal readonly ref struct ComplexPlane
{
    private readonly ref double _re;
    private readonly ref double _im;

    /// <param name="re">Real parts, rows of <paramref name="count"/> numbers.</param>
    /// <param name="im">Imaginary parts.</param>
    /// <param name="row">Which row.</param>
    /// <param name="count">Grid length.</param>
    public ComplexPlane(double[] re, double[] im, int row, int count)
    {
        _re = ref MemoryMarshal.GetReference(re.AsSpan(row * count, count));
        _im = ref MemoryMarshal.GetReference(im.AsSpan(row * count, count));
    }

    public ComplexLanes this[int k]
    {
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        get => new(Wide.LoadUnsafe(ref _re, (nuint)k), Wide.LoadUnsafe(ref _im, (nuint)k));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Set(int k, ComplexLanes value)
    {
        Wide.StoreUnsafe(value.Re, ref _re, (nuint)k);
        Wide.StoreUnsafe(value.Im, ref _im, (nuint)k);
    }
}
