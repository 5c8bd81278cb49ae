using System.Numerics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// A receiver's chain matrix (motor, front volume, spout) at every grid frequency, as eight planes of <see cref="FrequencyGrid.Count"/>
/// numbers: A re, A im, B re, B im, C re, C im, D re, D im. Frequency-major within a plane; SI.
/// </summary>
public sealed class ReceiverTable
{
    private readonly double[] _planes;
    private readonly int _count;

    /// <summary>Tabulates a receiver.</summary>
    public ReceiverTable(Receiver receiver, FrequencyGrid grid, Air air)
        : this(receiver, grid, omega => receiver.Matrix(omega, air))
    {
    }

    /// <summary>Tabulates any chain matrix with determinant −1, such as a textbook stand-in.</summary>
    public ReceiverTable(Receiver receiver, FrequencyGrid grid, Func<double, TwoPort> matrix)
    {
        Receiver = receiver;
        _count = grid.Count;
        _planes = new double[8 * _count];
        for (int k = 0; k < _count; k++)
        {
            TwoPort chain = matrix(grid.Omega[k]);
            Set(0, k, chain.A);
            Set(2, k, chain.B);
            Set(4, k, chain.C);
            Set(6, k, chain.D);
        }
    }

    /// <summary>The receiver.</summary>
    public Receiver Receiver { get; }

    /// <summary>One plane, 0 to 7.</summary>
    public ReadOnlySpan<double> Plane(int plane) => _planes.AsSpan(plane * _count, _count);

    private void Set(int plane, int k, Complex value)
    {
        _planes[(plane * _count) + k] = value.Real;
        _planes[((plane + 1) * _count) + k] = value.Imaginary;
    }
}
