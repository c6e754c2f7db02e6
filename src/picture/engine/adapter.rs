//! Is there anything to draw with? Asked before the engine starts, which would only panic.

use thiserror::Error;

/// Vulkan, Metal, DirectX 12. OpenGL is left out: its drivers write to the terminal while they look for a display.
pub const BACKENDS: wgpu::Backends = wgpu::Backends::PRIMARY;

/// No graphics adapter answered.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "no graphics adapter answered\n  \
     expected: a graphics card with a Vulkan driver (Metal, DirectX 12), or a software driver\n  \
     to do: install one, for instance `apt-get install mesa-vulkan-drivers` (Debian, Ubuntu), \
     `dnf install mesa-vulkan-drivers` (Fedora) or `pacman -S vulkan-swrast` (Arch), and try again"
)]
pub struct NoAdapter;

/// What the engine will draw with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Adapter {
    pub name: String,
    /// The processor does the work of a graphics card.
    pub software: bool,
}

/// The adapter the engine will take, chosen by the same rule.
pub fn find_adapter() -> Result<Adapter, NoAdapter> {
    let instance = wgpu::Instance::new(wgpu::InstanceDescriptor {
        backends: BACKENDS,
        ..wgpu::InstanceDescriptor::new_without_display_handle_from_env()
    });
    let options = wgpu::RequestAdapterOptions {
        power_preference: wgpu::PowerPreference::HighPerformance,
        force_fallback_adapter: false,
        compatible_surface: None,
    };
    let adapter = bevy::tasks::block_on(instance.request_adapter(&options)).map_err(|_| NoAdapter)?;
    let info = adapter.get_info();
    Ok(Adapter { name: info.name, software: info.device_type == wgpu::DeviceType::Cpu })
}
