using System.Numerics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Tests;

/// <summary>Bores between those that are tabulated, against the exact sound tube.</summary>
public class BoreFamilyTests
{
    private static readonly Air Still = Air.At();

    [Theory]
    [InlineData(1.0e-3, 2.0e-3)]
    [InlineData(0.5e-3, 3.0e-3)]
    public void Fill_BetweenNodes_IsTheExactTubeTo1e5(double smallest, double largest)
    {
        FrequencyGrid grid = FrequencyGrid.Standard(6);
        var relaxed = new RelaxedBore(new BoreFamily(smallest, largest, grid, Still));
        double worst = 0;
        for (int i = 0; i <= 200; i++)
        {
            double bore = smallest * Math.Pow(largest / smallest, i / 200.0);
            relaxed.MoveTo(bore);
            for (int k = 0; k < grid.Count; k++)
            {
                (Complex gamma, Complex zc) = SoundTube.Line(grid.Omega[k], bore, Still);
                worst = Math.Max(worst, Complex.Abs(At(relaxed.Table.Planes, 0, k) - gamma) / Complex.Abs(gamma));
                worst = Math.Max(worst, Complex.Abs(At(relaxed.Table.Planes, 1, k) - zc) / Complex.Abs(zc));
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{smallest * 1e3} to {largest * 1e3} mm: worst {worst:G3}.");
        Assert.InRange(worst, 1e-12, 1e-5);
    }

    [Fact]
    public void Fill_AtTheEnds_IsTheExactTable()
    {
        FrequencyGrid grid = FrequencyGrid.Standard(6);
        var relaxed = new RelaxedBore(new BoreFamily(1e-3, 2e-3, grid, Still));
        foreach (double bore in new[] { 1e-3, 2e-3 })
        {
            relaxed.MoveTo(bore);
            var exact = new BoreTable(bore, grid, Still);
            for (int plane = 0; plane < 5; plane++)
            {
                for (int k = 0; k < grid.Count; k++)
                {
                    Agreement.Relative(At(exact.Planes, plane, k), At(relaxed.Table.Planes, plane, k), 1e-13, $"plane {plane} at {grid.Hz[k]:G4} Hz");
                }
            }
        }
    }

    [Fact]
    public void Slopes_BetweenNodes_AreThoseOfTheTable()
    {
        FrequencyGrid grid = FrequencyGrid.Standard(6);
        var family = new BoreFamily(1e-3, 2e-3, grid, Still);
        RelaxedBore here = new(family), there = new(family);
        foreach (double bore in new[] { 1.0071e-3, 1.33e-3, 1.98e-3 })
        {
            here.MoveTo(bore);
            for (int k = 0; k < grid.Count; k++)
            {
                Complex gamma = 0, logZc = 0;
                foreach ((int offset, double weight) in new[] { (-2, 1.0), (-1, -8.0), (1, 8.0), (2, -1.0) })
                {
                    there.MoveTo(bore + (offset * 1e-7));
                    gamma += weight * At(there.Table.Planes, 0, k) / 12e-7;
                    logZc += weight * Complex.Log(At(there.Table.Planes, 1, k)) / 12e-7;
                }

                Complex slope = At(here.Slopes, 0, k), logSlope = At(here.Slopes, 1, k);
                Agreement.Absolute(gamma, slope, 1e-7 * Complex.Abs(At(here.Table.Planes, 0, k)) / bore, "∂Γ/∂bore");
                Agreement.Relative(logZc, logSlope, 1e-7, "∂ln Z_c/∂bore");
            }
        }
    }

    private static Complex At(Planes planes, int plane, int k) => new(planes[2 * plane][k], planes[(2 * plane) + 1][k]);
}
