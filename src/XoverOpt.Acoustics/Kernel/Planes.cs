using System.Numerics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>Complex tables over the grid, real and imaginary parts as planes of their own, one flat array.</summary>
internal sealed class Planes(int complexPlanes, int count)
{
    private readonly double[] _values = new double[2 * complexPlanes * count];

    /// <summary>One plane: 2i is the real part of complex plane i, 2i + 1 its imaginary part.</summary>
    public ReadOnlySpan<double> this[int plane] => _values.AsSpan(plane * count, count);

    public void Set(int complexPlane, int k, Complex value)
    {
        _values[(2 * complexPlane * count) + k] = value.Real;
        _values[(((2 * complexPlane) + 1) * count) + k] = value.Imaginary;
    }

    public ComplexLanes Lanes(int complexPlane, int k) => ComplexLanes.Load(this[2 * complexPlane], this[(2 * complexPlane) + 1], k);
}
