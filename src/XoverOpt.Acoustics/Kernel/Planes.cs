using System.Numerics;
using System.Runtime.InteropServices;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>Complex tables over the grid, real and imaginary parts as planes of their own, one flat array.</summary>
internal sealed class Planes(int complexPlanes, int count)
{
    private readonly double[] _values = AlignedArray.Of(2 * complexPlanes * count);

    public int Count => count;

    /// <summary>One plane: 2i is the real part of complex plane i, 2i + 1 its imaginary part.</summary>
    public Span<double> this[int plane] => _values.AsSpan(plane * count, count);

    public void Set(int complexPlane, int k, Complex value)
    {
        _values[(2 * complexPlane * count) + k] = value.Real;
        _values[(((2 * complexPlane) + 1) * count) + k] = value.Imaginary;
    }

    /// <summary>One number.</summary>
    public Complex At(int complexPlane, int k) => new(_values[(2 * complexPlane * count) + k], _values[(((2 * complexPlane) + 1) * count) + k]);

    /// <summary>The first number, for reads and writes in whole lanes inside the grid, which go unchecked.</summary>
    public ref double First => ref MemoryMarshal.GetArrayDataReference(_values);
}
