namespace XoverOpt.Acoustics.Kernel;

/// <summary>What of a receiver differs from piece to piece.</summary>
/// <param name="DcResistance">Coil resistance at DC, Ω.</param>
/// <param name="ForceFactor">Force factor T, N/A.</param>
/// <param name="Mass">Moving mass, kg.</param>
public readonly record struct ReceiverPiece(double DcResistance, double ForceFactor, double Mass);

/// <summary>
/// The receivers of one way where each is a piece of its own, joined at leads and spouts (<see cref="TwoPort.Joined"/>): one table that
/// is made anew for each built unit. What does not differ (front volume, spout, the reactive part of the coil) is tabulated once.
/// </summary>
public sealed class VariedReceivers
{
    private readonly FrequencyGrid _grid;
    private readonly Planes _front;
    private readonly Planes _reactive;
    private readonly double _stiffness;
    private readonly Wiring _wiring;

    /// <summary>Tabulates what the pieces of a receiver have in common.</summary>
    public VariedReceivers(Receiver receiver, Wiring wiring, FrequencyGrid grid, Air air)
    {
        _grid = grid;
        _wiring = wiring;
        _front = new(4, grid.Count);
        _reactive = new(1, grid.Count);
        _stiffness = (1 / receiver.Compliance) + (receiver.DiaphragmArea * receiver.DiaphragmArea * air.BulkModulus / receiver.RearVolume);
        for (int k = 0; k < grid.Count; k++)
        {
            TwoPort front = receiver.Front(grid.Omega[k], air, SoundTube.Matrix);
            _front.Set(0, k, front.A);
            _front.Set(1, k, front.B);
            _front.Set(2, k, front.C);
            _front.Set(3, k, front.D);
            _reactive.Set(0, k, receiver.CoilImpedance(grid.Omega[k]) - receiver.DcResistance);
        }

        Table = new(receiver, grid, air);
    }

    /// <summary>The joined receivers, to be used with a count of one; those of the last <see cref="Fill"/>.</summary>
    public ReceiverTable Table { get; }

    /// <summary>Fills the table for some pieces.</summary>
    public void Fill(ReadOnlySpan<ReceiverPiece> pieces)
    {
        if (LaneWidth.IsEight(_grid.Count))
        {
            Eight.VariedLanes.Fill(Table.Planes, _front, _reactive, _grid, pieces, Table.Receiver, _stiffness, _wiring);
        }
        else
        {
            Four.VariedLanes.Fill(Table.Planes, _front, _reactive, _grid, pieces, Table.Receiver, _stiffness, _wiring);
        }
    }
}
