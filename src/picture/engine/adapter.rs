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

/// Name of the adapter the engine will take, chosen by the same rule.
pub fn find_adapter() -> Result<String, NoAdapter> {
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
    Ok(adapter.get_info().name)
}
