using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

/// <summary>Ears other than the simulator's own.</summary>
public class EarTests
{
    private static readonly Air Air = Air.At();
    private static readonly Ear Average = new(EarSimulator.RefitDamped, 0, 7.5e-3, null, Air);

    // Similarity: a duct of k times the cross-section has 1/k of the impedance and the same resonances.
    [Theory]
    [InlineData(0.7)]
    [InlineData(1.4)]
    public void OfSize_AnyFrequency_DividesTheImpedanceByTheVolume(double ratio)
    {
        foreach (double hz in new[] { 50.0, 1000, 13_000 })
        {
            TwoPort average = Average.Matrix(2 * Math.PI * hz), sized = Average.OfSize(ratio).Matrix(2 * Math.PI * hz);
            Agreement.Relative(average.A / average.C / ratio, sized.A / sized.C, 1e-12, $"{hz} Hz");
            Agreement.Relative(average.A, sized.A, 1e-12, $"{hz} Hz");
        }
    }

    // A tip pushed in leaves less air by bore times depth, whether that stood in the residual canal or in the simulator. At 150 Hz the
    // heat at the canal's walls (2.3 % of its compliance, √(α_t/2ω)·(γ − 1)·2/a) and the mass of its air in front of the whole ear
    // (ω²ρl/S·C, some 0.6 % of it) only add.
    [Fact]
    public void Deeper_AtLowFrequencies_TakesAwayTheVolumeTheTipFills()
    {
        double S = Math.PI * 7.5e-3 * 7.5e-3 / 4;
        Ear shallow = Average.Deeper(-3e-3);

        Assert.Equal(3e-3, shallow.ResidualLength);
        Assert.InRange((Volume(shallow) - Volume(Average)) / (S * 3e-3), 1, 1.04);
        Assert.InRange((Volume(shallow) - Volume(shallow.Deeper(4.5e-3))) / (S * 4.5e-3), 1, 1.04);
        Assert.Equal(Average.Simulator, shallow.Deeper(3e-3).Simulator);
        Assert.True(shallow.Deeper(shallow.Room).Simulator is { L1: > 0, C1: > 0 });
        Assert.Throws<ArgumentOutOfRangeException>(() => Average.Deeper(3e-3));

        static double Volume(Ear ear)
        {
            const double omega = 2 * Math.PI * 150;
            TwoPort load = ear.Matrix(omega);
            return (load.C / load.A).Imaginary / omega * Air.BulkModulus;
        }
    }

    [Fact]
    public void AddedVolume_AtTheJunction_IsItsCompliance()
    {
        const double omega = 2 * Math.PI * 300;
        TwoPort bare = Average.Matrix(omega), more = (Average with { AddedVolume = 50e-9 }).Matrix(omega);

        Agreement.Relative(new Complex(0, omega * 50e-9 / Air.BulkModulus), (more.C / more.A) - (bare.C / bare.A), 1e-12, "admittance");
    }

    // The exact tube's slow limit; Poiseuille's law.
    [Fact]
    public void Hole_OfALeak_IsTheTubeAtLowFrequencies()
    {
        const double omega = 2 * Math.PI * 20;
        (Complex gamma, Complex zc) = SoundTube.Line(omega, 0.3e-3, Air);

        Agreement.Relative(gamma * zc * 10e-3, Leak.Hole(10e-3, 0.3e-3, Air).Impedance(omega), 1e-3, "leak");
    }
}
