namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// The ear at every grid frequency: load admittance Y_L at the junction, and 1/A_load, the microphone pressure per junction pressure.
/// Four planes: Y re, Y im, 1/A re, 1/A im.
/// </summary>
public sealed class EarTable
{
    /// <summary>Tabulates an ear.</summary>
    public EarTable(Ear ear, FrequencyGrid grid)
        : this(grid, ear.Matrix)
    {
    }

    /// <summary>Tabulates any load given as the chain from junction to microphone.</summary>
    public EarTable(FrequencyGrid grid, Func<double, TwoPort> matrix)
    {
        Planes = new(2, grid.Count);
        for (int k = 0; k < grid.Count; k++)
        {
            TwoPort chain = matrix(grid.Omega[k]);
            Planes.Set(0, k, chain.C / chain.A);
            Planes.Set(1, k, 1 / chain.A);
        }
    }

    internal Planes Planes { get; }
}
