namespace XoverOpt.Acoustics;

/// <summary>The properties of air that sound in small tubes needs.</summary>
/// <param name="Density">ρ, kg/m³.</param>
/// <param name="SoundSpeed">c, m/s.</param>
/// <param name="HeatRatio">γ.</param>
/// <param name="Viscosity">η, Pa·s.</param>
/// <param name="ThermalDiffusivity">α_t, m²/s.</param>
public readonly record struct Air(double Density, double SoundSpeed, double HeatRatio, double Viscosity, double ThermalDiffusivity)
{
    /// <summary>ρc², Pa: what a small closed volume pushes back with.</summary>
    public double BulkModulus => Density * SoundSpeed * SoundSpeed;
}
