namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// A receiver's chain matrix (motor, front volume, spout) at every grid frequency, as eight planes of <see cref="FrequencyGrid.Count"/>
/// numbers: A re, A im, B re, B im, C re, C im, D re, D im. Frequency-major within a plane; SI.
/// </summary>
public sealed class ReceiverTable
{
    /// <summary>Tabulates a receiver.</summary>
    public ReceiverTable(Receiver receiver, FrequencyGrid grid, Air air)
        : this(receiver, grid, omega => receiver.Matrix(omega, air))
    {
    }

    /// <summary>Tabulates any chain matrix with determinant −1, such as a textbook stand-in.</summary>
    public ReceiverTable(Receiver receiver, FrequencyGrid grid, Func<double, TwoPort> matrix)
    {
        Receiver = receiver;
        Planes = new(4, grid.Count);
        for (int k = 0; k < grid.Count; k++)
        {
            TwoPort chain = matrix(grid.Omega[k]);
            Planes.Set(0, k, chain.A);
            Planes.Set(1, k, chain.B);
            Planes.Set(2, k, chain.C);
            Planes.Set(3, k, chain.D);
        }
    }

    /// <summary>The receiver.</summary>
    public Receiver Receiver { get; }

    internal Planes Planes { get; }
}
