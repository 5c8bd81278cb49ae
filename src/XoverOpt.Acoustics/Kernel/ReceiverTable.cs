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

    /// <summary>Tabulates a receiver with its motor and what is in front of it apart, for evaluations that ask for travel and current.</summary>
    public static ReceiverTable WithMotor(Receiver receiver, FrequencyGrid grid, Air air)
    {
        var table = new ReceiverTable(receiver, grid, air) { Motor = new(4, grid.Count), Front = new(4, grid.Count) };
        for (int k = 0; k < grid.Count; k++)
        {
            Put(table.Motor, k, receiver.Motor(grid.Omega[k], air));
            Put(table.Front, k, receiver.Front(grid.Omega[k], air, SoundTube.Matrix));
        }

        return table;
    }

    /// <summary>Tabulates any chain matrix with determinant −1, such as a textbook stand-in.</summary>
    public ReceiverTable(Receiver receiver, FrequencyGrid grid, Func<double, TwoPort> matrix)
    {
        Receiver = receiver;
        Planes = new(4, grid.Count);
        for (int k = 0; k < grid.Count; k++)
        {
            TwoPort chain = matrix(grid.Omega[k]);
            Put(Planes, k, chain);
        }
    }

    /// <summary>The receiver.</summary>
    public Receiver Receiver { get; }

    internal Planes Planes { get; }

    /// <summary>From the coil's leads to the diaphragm; null where not asked for.</summary>
    internal Planes? Motor { get; private init; }

    /// <summary>From the diaphragm to the mouth of the spout; null where not asked for.</summary>
    internal Planes? Front { get; private init; }

    private static void Put(Planes planes, int k, TwoPort chain)
    {
        planes.Set(0, k, chain.A);
        planes.Set(1, k, chain.B);
        planes.Set(2, k, chain.C);
        planes.Set(3, k, chain.D);
    }
}
