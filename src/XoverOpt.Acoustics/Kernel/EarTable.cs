using System.Numerics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// The ear at every grid frequency: load admittance Y_L at the junction, and 1/A_load, the microphone pressure per junction pressure.
/// Four planes: Y re, Y im, 1/A re, 1/A im.
/// </summary>
public sealed class EarTable
{
    private readonly double[] _planes;
    private readonly int _count;

    /// <summary>Tabulates an ear.</summary>
    public EarTable(Ear ear, FrequencyGrid grid)
        : this(grid, ear.Matrix)
    {
    }

    /// <summary>Tabulates any load given as the chain from junction to microphone.</summary>
    public EarTable(FrequencyGrid grid, Func<double, TwoPort> matrix)
    {
        _count = grid.Count;
        _planes = new double[4 * _count];
        for (int k = 0; k < _count; k++)
        {
            TwoPort chain = matrix(grid.Omega[k]);
            Set(0, k, chain.C / chain.A);
            Set(2, k, 1 / chain.A);
        }
    }

    /// <summary>One plane, 0 to 3.</summary>
    public ReadOnlySpan<double> Plane(int plane) => _planes.AsSpan(plane * _count, _count);

    private void Set(int plane, int k, Complex value)
    {
        _planes[(plane * _count) + k] = value.Real;
        _planes[((plane + 1) * _count) + k] = value.Imaginary;
    }
}
