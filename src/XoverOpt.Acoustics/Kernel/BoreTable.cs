using System.Numerics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// Propagation in a bore at every grid frequency, as ten planes: Γ, Z_c, 1/Z_c, z = ΓZ_c and y = Γ/Z_c (re and im each).
/// Exact for the bore, since length enters only through cosh and sinh.
/// </summary>
public sealed class BoreTable
{
    /// <summary>Tabulates a bore (inner diameter), m.</summary>
    public BoreTable(double bore, FrequencyGrid grid, Air air)
    {
        Bore = bore;
        Planes = new(5, grid.Count);
        for (int k = 0; k < grid.Count; k++)
        {
            (Complex gamma, Complex zc) = SoundTube.Line(grid.Omega[k], bore, air);
            Planes.Set(0, k, gamma);
            Planes.Set(1, k, zc);
            Planes.Set(2, k, 1 / zc);
            Planes.Set(3, k, gamma * zc);
            Planes.Set(4, k, gamma / zc);
            LargestLoss = Math.Max(LargestLoss, gamma.Real);
        }
    }

    /// <summary>A table that a relaxed bore fills.</summary>
    internal BoreTable(Planes planes) => Planes = planes;

    /// <summary>Inner diameter, m.</summary>
    public double Bore { get; private set; }

    internal Planes Planes { get; }

    /// <summary>Largest Re Γ on the grid, 1/m.</summary>
    internal double LargestLoss { get; private set; }

    /// <summary>The planes now hold those of another bore.</summary>
    internal void Moved(double bore)
    {
        Bore = bore;
        LargestLoss = 0;
        foreach (double loss in Planes[0])
        {
            LargestLoss = Math.Max(LargestLoss, loss);
        }
    }
}
