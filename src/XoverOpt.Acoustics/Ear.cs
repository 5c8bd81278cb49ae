using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// What the tip speaks into: an optional leak to the room at the junction, a residual canal, and the occluded-ear simulator.
/// </summary>
/// <param name="Simulator">Element values of the lumped IEC 60318-4 simulator.</param>
/// <param name="ResidualLength">Residual canal length between tip and simulator, m; 0 for none.</param>
/// <param name="ResidualBore">Residual canal bore, m.</param>
/// <param name="Leak">Leak to the room at the junction; null for a perfect seal.</param>
/// <param name="Air">The air in tubes and volumes.</param>
public sealed record Ear(EarSimulator Simulator, double ResidualLength, double ResidualBore, Leak? Leak, Air Air)
{
    /// <summary>
    /// The chain from the junction to the microphone: leak (shunt), residual canal, simulator. With the microphone taking no flow,
    /// the load on the earpiece is Y_L = C/A and the eardrum pressure is p/A, p being the pressure at the junction.
    /// </summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    public TwoPort Matrix(double omega) => Matrix(omega, SoundTube.Matrix);

    internal TwoPort Matrix(double omega, TubeMatrix tube)
    {
        TwoPort sealedEar = ResidualLength == 0
            ? Simulator.Matrix(omega)
            : tube(omega, ResidualLength, ResidualBore, Air) * Simulator.Matrix(omega);
        return Leak is null ? sealedEar : TwoPort.Shunt(Complex.Reciprocal(Leak.Impedance(omega))) * sealedEar;
    }
}
