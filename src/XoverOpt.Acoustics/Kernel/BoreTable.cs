using System.Numerics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// Propagation in a bore at every grid frequency, as ten planes: Γ, Z_c, 1/Z_c, z = ΓZ_c and y = Γ/Z_c (re and im each).
/// Exact for the bore, since length enters only through cosh and sinh.
/// </summary>
public sealed class BoreTable
{
    private readonly double[] _planes;
    private readonly int _count;

    /// <summary>Tabulates a bore (inner diameter), m.</summary>
    public BoreTable(double bore, FrequencyGrid grid, Air air)
    {
        Bore = bore;
        _count = grid.Count;
        _planes = new double[10 * _count];
        for (int k = 0; k < _count; k++)
        {
            (Complex gamma, Complex zc) = SoundTube.Line(grid.Omega[k], bore, air);
            Set(0, k, gamma);
            Set(2, k, zc);
            Set(4, k, 1 / zc);
            Set(6, k, gamma * zc);
            Set(8, k, gamma / zc);
        }
    }

    /// <summary>Inner diameter, m.</summary>
    public double Bore { get; }

    /// <summary>One plane, 0 to 9.</summary>
    public ReadOnlySpan<double> Plane(int plane) => _planes.AsSpan(plane * _count, _count);

    private void Set(int plane, int k, Complex value)
    {
        _planes[(plane * _count) + k] = value.Real;
        _planes[((plane + 1) * _count) + k] = value.Imaginary;
    }
}
